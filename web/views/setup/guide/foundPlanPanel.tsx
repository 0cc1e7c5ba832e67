import { useState } from 'preact/hooks';
import type { FoundPlan } from '../../../../api/schemas/foundPlan.ts';
import type { PointProgress } from '../../../../api/schemas/siteProgress.ts';
import type { SiteSetup } from '../../../../api/schemas/siteSetup.ts';
import { get, patch } from '../../../client.ts';
import { formatMhz, formatMoment, plural } from '../../../format.ts';
import { ChoiceField } from '../../../parts/field.tsx';
import { Failure } from '../../../parts/notice.tsx';
import { paths } from '../../../paths.ts';
import { useSubmit } from '../../../useSubmit.ts';
import { FoundPlanForm } from './foundPlanForm.tsx';
import { SURENESS_WORD } from './sureness.ts';

interface FoundPlanPanelProps {
  site: SiteSetup;
  points: readonly PointProgress[];
  onUsed: () => void;
}

/** The plan as the first sweeps speak for it, with how sure each part is, for a person to confirm. */
export function FoundPlanPanel({ site, points, onUsed }: FoundPlanPanelProps) {
  const heard = points.filter((point) => point.heard !== null);
  const [chosen, setChosen] = useState<string | null>(null);
  const [found, setFound] = useState<FoundPlan | null>(null);
  const { run, busy, error } = useSubmit();
  const pointId = Number(chosen ?? heard[0]?.pointId);
  const find = () =>
    run(async () => {
      setFound(null);
      setFound(await get<FoundPlan>(paths.foundPlan(site.siteId, pointId)));
    });
  const used = () => {
    setFound(null);
    onUsed();
  };
  return (
    <section class="panel" aria-labelledby="found-title">
      <h3 id="found-title">Found from a first sweep</h3>
      {heard.length === 0 ? (
        <p>
          No sweep has come in yet. Set up points and readings first; then the raster, the modulation and
          missing channels are proposed here from what was measured.
        </p>
      ) : (
        <div class="form">
          <ChoiceField
            label="Point to look at"
            hint="The handoff tells most: nothing of the building’s own has touched the feed there."
            value={String(pointId)}
            options={heard.map((point) => [String(point.pointId), point.title] as const)}
            onValue={setChosen}
          />
          <div class="actions">
            <button type="button" disabled={busy} onClick={find}>
              Find the plan
            </button>
            <span class="quiet">Nothing is saved by looking.</span>
          </div>
        </div>
      )}
      {error && <Failure error={error} />}
      {found && (
        <>
          <Summary found={found} timeZone={site.timeZone} />
          <KnownPlans site={site} found={found} onUsed={used} />
          <FoundPlanForm key={found.newestAt} site={site} found={found} onUsed={used} />
        </>
      )}
    </section>
  );
}

function Summary({ found, timeZone }: { found: FoundPlan; timeZone: string }) {
  return (
    <div class="found-summary">
      <p>
        From {plural(found.sweeps, 'sweep')} by {found.instruments.join(', ')}, the newest of{' '}
        {formatMoment(found.newestAt, timeZone)}.
      </p>
      <p>
        <strong>
          Raster: {found.raster === 'own' ? 'none that is known here' : found.raster},{' '}
          {SURENESS_WORD[found.rasterIs]}.
        </strong>{' '}
        {found.rasterWhy}
      </p>
      {found.outsideMhz.length > 0 && (
        <p>
          <strong>Outside the raster:</strong> {found.outsideMhz.map(formatMhz).join(', ')} MHz. These
          carriers are kept with every sweep and are not judged.
        </p>
      )}
    </div>
  );
}

function KnownPlans({ site, found, onUsed }: { site: SiteSetup; found: FoundPlan; onUsed: () => void }) {
  const { run, busy, error } = useSubmit();
  if (found.known.length === 0) return null;
  const total = found.channels.length + found.outsideMhz.length;
  return (
    <div class="boxed">
      <h4>Plans that come close</h4>
      <ul class="rows">
        {found.known.map((plan) => (
          <li key={plan.planId}>
            <span>
              <strong>{plan.name}</strong>: {plan.found} of {plural(total, 'carrier')} are channels of it
              {plan.notFound.length > 0
                ? `; not found: RF ${plan.notFound.join(', ')}.`
                : '; none of its channels is missing.'}
            </span>
            {plan.planId === site.planId ? (
              <span class="quiet">The plan of this site.</span>
            ) : (
              <button
                type="button"
                class="small"
                disabled={busy}
                aria-label={`Use the plan ${plan.name}`}
                onClick={() =>
                  run(() => patch(paths.site(site.siteId), { planId: plan.planId }).then(onUsed))
                }
              >
                Use this plan
              </button>
            )}
          </li>
        ))}
      </ul>
      {error && <Failure error={error} />}
    </div>
  );
}
