import type { ProbeRuns, ProbeRunView } from '../../../api/schemas/probes.ts';
import { formatAgo, formatMoment } from '../../format.ts';
import { Link } from '../../parts/link.tsx';
import { Empty, Failure, Waiting } from '../../parts/notice.tsx';
import { ScrollRegion } from '../../parts/scrollRegion.tsx';
import { paths } from '../../paths.ts';
import { useLoad } from '../../useLoad.ts';
import { dueWords, STANDING_MEANS, scheduleWords, spanWords, successWords } from './probeWords.ts';
import { ReadNow } from './readNow.tsx';
import { StandingMark } from './standingMark.tsx';

const REFRESH_MS = 15_000;
const SHOWN_RUNS = 100;

/** One probe: how it stands, and what came of each time that it was read. */
export function ProbeView({ siteId, probeId }: { siteId: number; probeId: number }) {
  const path = `${paths.probeRuns(siteId, probeId)}?limit=${SHOWN_RUNS}`;
  const { data, error, reload } = useLoad<ProbeRuns>(path, REFRESH_MS);
  return (
    <main class="page" id="main">
      {error && <Failure error={error} onRetry={reload} />}
      {!data && !error && (
        <>
          <h1 tabIndex={-1}>Probe</h1>
          <Waiting what="the probe" />
        </>
      )}
      {data && <Shown siteId={siteId} data={data} onRead={reload} />}
    </main>
  );
}

function Shown({ siteId, data, onRead }: { siteId: number; data: ProbeRuns; onRead: () => void }) {
  const { site, probe, runs } = data;
  const nowMs = Date.now();
  return (
    <>
      <header class="site-header">
        <nav class="crumbs no-print" aria-label="You are here">
          <Link href="/probes">Probes</Link> <span aria-hidden="true">/</span>{' '}
          <Link href={`/sites/${siteId}`}>{site.name}</Link> <span aria-hidden="true">/</span> {probe.name}
        </nav>
        <div class="site-title">
          <h1 tabIndex={-1}>{probe.name}</h1>
          <p class="quiet">
            reads <Link href={`/sites/${siteId}/points/${probe.pointId}`}>{probe.point}</Link> of {site.name}
          </p>
          <Link href={`/setup/sites/${siteId}`} class="button small no-print">
            Set up this site
          </Link>
        </div>
        <p class="lead">
          <StandingMark standing={probe.standing} />{' '}
          {probe.lastError === null ? (
            `${STANDING_MEANS[probe.standing]}.`
          ) : (
            <>
              {probe.lastError.message}. <span class="probe-do">What to do: {probe.lastError.action}.</span>
            </>
          )}
        </p>
        <ReadNow siteId={siteId} probeId={probe.probeId} name={probe.name} onOver={onRead} />
        <dl class="facts">
          <Fact term="Next reading">{probe.underWay ? 'under way' : dueWords(probe.dueAt, nowMs)}</Fact>
          <Fact term="Last reading">
            {probe.lastSuccessAt === null ? 'never' : formatAgo(probe.lastSuccessAt, nowMs)}
          </Fact>
          <Fact term="Read, 30 days">{successWords(probe.runs, probe.failed)}</Fact>
          <Fact term="Schedule">
            {scheduleWords(probe.schedule)}, {site.timeZone}
          </Fact>
          <Fact term="Address">
            <span class="mono">
              {probe.settings.host}, UDP port {probe.settings.port}
            </span>
          </Fact>
          <Fact term="Access">SNMP v{probe.settings.access.version}</Fact>
          <Fact term="Given up after">{spanWords(probe.timeoutS)}</Fact>
          <Fact term="Rest between readings">{spanWords(probe.floorS)}</Fact>
        </dl>
      </header>
      <section class="panel" aria-labelledby="runs-title">
        <h2 id="runs-title">Readings, newest first</h2>
        {runs.length === 0 ? <Empty>None yet.</Empty> : <RunTable runs={runs} timeZone={site.timeZone} />}
        <p class="quiet">
          The newest {SHOWN_RUNS} are shown; the record is kept for 30 days. A failed reading is tried up to
          three times.
        </p>
      </section>
    </>
  );
}

function RunTable({ runs, timeZone }: { runs: readonly ProbeRunView[]; timeZone: string }) {
  return (
    <ScrollRegion label="Readings of this probe">
      <table class="run-table">
        <thead>
          <tr>
            <th scope="col">When</th>
            <th scope="col">What came of it</th>
            <th scope="col" class="figure">
              Took
            </th>
            <th scope="col" class="figure">
              Tries
            </th>
            <th scope="col">Why</th>
          </tr>
        </thead>
        <tbody>
          {runs.map((run) => (
            <tr key={run.runId}>
              <td class="run-when">{formatMoment(run.startedAt, timeZone)}</td>
              <td>
                <Outcome run={run} />
              </td>
              <td class="figure run-took">{tookWords(run)}</td>
              <td class="figure">{run.tries}</td>
              <td>{run.askedBy === null ? 'due' : `asked for by ${run.askedBy}`}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </ScrollRegion>
  );
}

function Outcome({ run }: { run: ProbeRunView }) {
  if (run.outcome === 'held') return <span class="quiet">Held: a maintenance window was in force</span>;
  if (run.error === null) return <>{run.told?.split('\n')[0] ?? 'Read and stored'}</>;
  return (
    <>
      <span class="abnormal">
        <span aria-hidden="true">◆</span> Failed:
      </span>{' '}
      {run.error.message}. <span class="probe-do">What to do: {run.error.action}.</span>
    </>
  );
}

function tookWords({ startedAt, endedAt }: ProbeRunView): string {
  const seconds = (Date.parse(endedAt) - Date.parse(startedAt)) / 1000;
  return `${seconds < 10 ? seconds.toFixed(1) : Math.round(seconds)} s`;
}

function Fact({ term, children }: { term: string; children: preact.ComponentChildren }) {
  return (
    <div>
      <dt>{term}</dt>
      <dd>{children}</dd>
    </div>
  );
}
