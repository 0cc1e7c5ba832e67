import { useState } from 'preact/hooks';
import type { z } from 'zod';
import type { PlansSchema, ServiceHits } from '../../../../api/schemas/plans.ts';
import { withQuery } from '../../../client.ts';
import { formatDay, formatMhz, plural } from '../../../format.ts';
import { TextField } from '../../../parts/field.tsx';
import { Link } from '../../../parts/link.tsx';
import { Empty, Failure, Waiting } from '../../../parts/notice.tsx';
import { paths } from '../../../paths.ts';
import { useLoad } from '../../../useLoad.ts';
import { useSettled } from '../../../useSettled.ts';
import { MODULATION_WORD } from '../../../words.ts';
import { ownZone } from '../../../zonedTime.ts';
import { SetupMain } from '../setupMain.tsx';

/** The channel plans, and where a programme is carried. */
export function PlanListView() {
  const { data, error, reload } = useLoad<z.infer<typeof PlansSchema>>(paths.plans);
  return (
    <SetupMain
      title="Channel plans"
      lead="The channels that a feed should carry, in versions with the date from which each is in force."
    >
      <div class="actions">
        <Link href="/setup/plans/new" class="button primary">
          Make a plan
        </Link>
      </div>
      {error && <Failure error={error} onRetry={reload} />}
      {!data && !error && <Waiting what="the plans" />}
      {data?.plans.length === 0 && <Empty>No plan yet.</Empty>}
      <ul class="rows">
        {data?.plans.map((plan) => {
          const inForce = plan.versions.find((version) => version.inForce);
          return (
            <li key={plan.planId}>
              <Link href={`/setup/plans/${plan.planId}`} class="row-link">
                {plan.name}
              </Link>
              <span class="quiet">
                {plan.raster} raster · {plural(plan.sites, 'site')} ·{' '}
                {plural(plan.versions.length, 'version')}
                {inForce &&
                  ` · in force: version ${inForce.version} with ${plural(inForce.channels, 'channel')}, since ${formatDay(inForce.effectiveFrom, ownZone())}`}
              </span>
            </li>
          );
        })}
      </ul>
      <ServiceSearch />
    </SetupMain>
  );
}

/** A complaint names what the viewer dials; this says which RF channel that is. */
function ServiceSearch() {
  const [search, setSearch] = useState('');
  const settled = useSettled(search.trim());
  const { data, error } = useLoad<ServiceHits>(
    settled === '' ? null : withQuery(paths.services, { search: settled }),
  );
  return (
    <section class="panel" aria-labelledby="service-title">
      <h2 id="service-title">Which RF channel is it?</h2>
      <TextField
        label="The viewer’s number or the programme’s name"
        value={search}
        onValue={setSearch}
        hint="What the viewer dials is not the RF channel."
      />
      {error && <Failure error={error} />}
      <div role="status">
        {settled !== '' && data?.hits.length === 0 && <p>No plan in force carries it.</p>}
        <ul class="rows">
          {(settled === '' ? [] : (data?.hits ?? [])).map((hit) => (
            <li key={`${hit.planId} ${hit.channel}`}>
              <span>
                <strong>RF {hit.channel}</strong>, {formatMhz(hit.centreMhz)} MHz,{' '}
                {MODULATION_WORD[hit.modulation]}
              </span>
              <span>{hit.services.map((service) => `${service.number} ${service.name}`).join('; ')}</span>
              <span class="quiet">{hit.plan}</span>
            </li>
          ))}
        </ul>
      </div>
    </section>
  );
}
