import type { ProbeRuns } from '../../../api/schemas/probes.ts';
import { formatAgo } from '../../format.ts';
import { Link } from '../../parts/link.tsx';
import { Empty, Failure, Waiting } from '../../parts/notice.tsx';
import { paths } from '../../paths.ts';
import { useLoad } from '../../useLoad.ts';
import { useTitle } from '../../useTitle.ts';
import {
  ANSWER_WORD,
  accessWords,
  addressOf,
  dueWords,
  STANDING_MEANS,
  scheduleWords,
  spanWords,
  successWords,
} from './probeWords.ts';
import { ReadNow } from './readNow.tsx';
import { RunList } from './runList.tsx';
import { StandingMark } from './standingMark.tsx';

const REFRESH_MS = 15_000;
const SHOWN_RUNS = 100;

/** One probe: how it stands, and what came of each time that it was read. */
export function ProbeView({ siteId, probeId }: { siteId: number; probeId: number }) {
  const path = `${paths.probeRuns(siteId, probeId)}?limit=${SHOWN_RUNS}`;
  const { data, error, reload } = useLoad<ProbeRuns>(path, REFRESH_MS);
  useTitle(data && `${data.probe.name}, ${data.site.name}`);
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
        <div class="actions">
          <ReadNow siteId={siteId} probeId={probe.probeId} name={probe.name} onOver={onRead} />
        </div>
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
            <span class="mono address">
              {addressOf(probe)}
              {probe.kind === 'modem' && `, UDP port ${probe.settings.port}`}
            </span>
          </Fact>
          <Fact term="Access">{accessWords(probe)}</Fact>
          {probe.kind === 'http' && <Fact term="Its answer">{ANSWER_WORD[probe.settings.format.is]}</Fact>}
          <Fact term="Given up after">{spanWords(probe.timeoutS)}</Fact>
          <Fact term="Rest between readings">{spanWords(probe.floorS)}</Fact>
        </dl>
      </header>
      <section class="panel" aria-labelledby="runs-title">
        <h2 id="runs-title">Readings, newest first</h2>
        {runs.length === 0 ? <Empty>None yet.</Empty> : <RunList runs={runs} timeZone={site.timeZone} />}
        <p class="quiet run-note">
          The newest {SHOWN_RUNS} are shown; the record is kept for 30 days. A failed reading is tried up to
          three times.
        </p>
      </section>
    </>
  );
}

function Fact({ term, children }: { term: string; children: preact.ComponentChildren }) {
  return (
    <div>
      <dt>{term}</dt>
      <dd>{children}</dd>
    </div>
  );
}
