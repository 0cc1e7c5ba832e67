import type { ProbeFleetRow } from '../../../api/schemas/probes.ts';
import { formatAgo } from '../../format.ts';
import { Link } from '../../parts/link.tsx';
import { dueWords, scheduleWords, successWords } from './probeWords.ts';
import { StandingMark } from './standingMark.tsx';

/** One probe of the ranked list: which, how it stands, and what to do about it. */
export function ProbeLine({ row }: { row: ProbeFleetRow }) {
  const nowMs = Date.now();
  return (
    <li class="probe-line">
      <div class="probe-who">
        <Link href={`/sites/${row.siteId}/probes/${row.probeId}`} class="row-link">
          {row.name}
        </Link>
        <span class="quiet">
          {row.site}
          {row.town && `, ${row.town}`} · {row.point}
        </span>
        <span class="quiet mono address">{row.address}</span>
      </div>
      <div class="probe-what">
        <StandingMark standing={row.standing} /> <What row={row} nowMs={nowMs} />
      </div>
      <dl class="probe-figures">
        <div>
          <dt>Next reading</dt>
          <dd>{row.underWay ? 'under way' : dueWords(row.dueAt, nowMs)}</dd>
        </div>
        <div>
          <dt>Last reading</dt>
          <dd>{row.lastSuccessAt === null ? 'never' : formatAgo(row.lastSuccessAt, nowMs)}</dd>
        </div>
        <div>
          <dt>Read, 30 days</dt>
          <dd>{successWords(row.runs, row.failed)}</dd>
        </div>
      </dl>
    </li>
  );
}

function What({ row, nowMs }: { row: ProbeFleetRow; nowMs: number }) {
  if (row.standing === 'late') {
    return (
      <>
        {dueWords(row.dueAt, nowMs)}: no server has read it.{' '}
        <span class="probe-do">
          What to do: see that a server with the role jobs runs, and is not overloaded.
        </span>
      </>
    );
  }
  if (row.standing !== 'failing' || row.lastError === null) {
    return <span class="quiet">{scheduleWords(row.schedule)}</span>;
  }
  const times = row.failures === 1 ? 'once' : `${row.failures} times in a row`;
  return (
    <>
      {times}: {row.lastError.message}. <span class="probe-do">What to do: {row.lastError.action}.</span>
    </>
  );
}
