import { useState } from 'preact/hooks';
import type {
  BaselineListView,
  BaselineProposalView,
  BaselineVersionView,
} from '../../../../api/schemas/baseline.ts';
import type { SiteView } from '../../../../api/schemas/site.ts';
import { get, withQuery } from '../../../client.ts';
import { formatDay, formatNumber, plural } from '../../../format.ts';
import { Link } from '../../../parts/link.tsx';
import { Failure, Waiting } from '../../../parts/notice.tsx';
import { paths } from '../../../paths.ts';
import { useAddress } from '../../../router.ts';
import { useLoad } from '../../../useLoad.ts';
import { useSubmit } from '../../../useSubmit.ts';
import { pointTitle } from '../../site/placing.ts';
import { guideAddress } from '../guide/steps.ts';
import { SetupMain } from '../setupMain.tsx';
import { AcceptForm } from './acceptForm.tsx';
import { Proposal } from './proposal.tsx';
import { type TimeWindow, WindowForm } from './windowForm.tsx';

interface Previewed {
  readonly window: TimeWindow;
  readonly proposal: BaselineProposalView;
}

/** The accepted reference of one point: choose a window, look, sign. */
export function BaselineView({ siteId, pointId }: { siteId: number; pointId: number }) {
  const site = useLoad<SiteView>(paths.site(siteId));
  const versions = useLoad<BaselineListView>(paths.baselines(siteId, pointId));
  const [previewed, setPreviewed] = useState<Previewed | null>(null);
  const { run, busy, error, fields } = useSubmit();
  const { searchParams } = useAddress();
  const point = site.data?.points.find((candidate) => candidate.pointId === pointId);
  const failure = site.error ?? versions.error;
  if (!site.data || !point) {
    return (
      <SetupMain title="Baseline">
        {failure && <Failure error={failure} onRetry={site.reload} />}
        {!failure && (site.data ? <p>This site has no point {pointId}.</p> : <Waiting what="the point" />)}
      </SetupMain>
    );
  }
  const { timeZone } = site.data.site;
  const proposed = windowFrom(searchParams);
  const preview = (window: TimeWindow) =>
    run(async () => {
      setPreviewed(null);
      const path = withQuery(paths.baselineProposal(siteId, pointId), { ...window });
      setPreviewed({ window, proposal: await get<BaselineProposalView>(path) });
    });
  const accepted = () => {
    setPreviewed(null);
    versions.reload();
  };
  return (
    <SetupMain
      title={`Baseline of ${pointTitle(point)}`}
      lead="The reference that every later sweep is held against. Take it when the installation is as it should be: a quiet stretch of a few days, with one instrument."
    >
      <p>
        At <Link href={`/setup/sites/${siteId}`}>{site.data.site.name}</Link> ·{' '}
        <Link href={guideAddress(siteId, 'baseline')}>Back to the set-up, step by step</Link>
      </p>
      {failure && <Failure error={failure} />}
      <section class="panel" aria-labelledby="window-title">
        <h2 id="window-title">Window of sweeps</h2>
        <WindowForm timeZone={timeZone} proposed={proposed} busy={busy} fields={fields} onWindow={preview} />
        {error && <Failure error={error} />}
      </section>
      {previewed && (
        <>
          <Proposal proposal={previewed.proposal} timeZone={timeZone} />
          <AcceptForm siteId={siteId} {...previewed} onAccepted={accepted} />
        </>
      )}
      <VersionList versions={versions.data?.versions ?? []} timeZone={timeZone} />
    </SetupMain>
  );
}

/** The window that an address proposes, such as the days since a repair. */
function windowFrom(query: URLSearchParams): TimeWindow | null {
  const [from, to] = [query.get('from'), query.get('to')];
  if (from === null || to === null) return null;
  return Number.isNaN(Date.parse(from)) || Number.isNaN(Date.parse(to)) ? null : { from, to };
}

function VersionList({ versions, timeZone }: { versions: readonly BaselineVersionView[]; timeZone: string }) {
  return (
    <section class="panel" aria-labelledby="versions-title">
      <h2 id="versions-title">Accepted so far</h2>
      {versions.length === 0 && <p class="quiet">None yet: this point can’t be judged by change.</p>}
      <ul class="rows">
        {versions.map((version) => (
          <li key={version.version}>
            <strong>Version {version.version}</strong>
            <span>
              {plural(version.sweeps, 'sweep')} from {formatDay(version.fromAt, timeZone)} to{' '}
              {formatDay(version.toAt, timeZone)}: level {formatNumber(version.levelDbmv)} dBmV, tilt{' '}
              {formatNumber(version.tiltDb)} dB, flatness {formatNumber(version.flatnessDb)} dB
            </span>
            <span class="quiet">
              accepted by {version.acceptedBy} on {formatDay(version.acceptedAt, timeZone)}, in force from{' '}
              {formatDay(version.effectiveFrom, timeZone)}
              {version.exceptionNote && `; exception: “${version.exceptionNote}”`}
            </span>
          </li>
        ))}
      </ul>
    </section>
  );
}
