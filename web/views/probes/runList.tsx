import type { ProbeRunView } from '../../../api/schemas/probes.ts';
import { formatMoment } from '../../format.ts';

/** What came of each reading, newest first. What to do about a fault is said once, where it is newest. */
export function RunList({ runs, timeZone }: { runs: readonly ProbeRunView[]; timeZone: string }) {
  return (
    <ol class="run-list">
      {runs.map((run, i) => (
        <li key={run.runId}>
          <time dateTime={run.startedAt}>{formatMoment(run.startedAt, timeZone)}</time>
          <div>
            <Outcome run={run} isNews={run.error?.message !== runs[i - 1]?.error?.message} />
          </div>
          <span class="quiet">{particulars(run)}</span>
        </li>
      ))}
    </ol>
  );
}

function Outcome({ run, isNews }: { run: ProbeRunView; isNews: boolean }) {
  if (run.outcome === 'held') return <span class="quiet">Held: a maintenance window was in force.</span>;
  if (run.error === null)
    return <>Read and stored{run.told === null ? '' : `: ${run.told.split('\n')[0]}`}.</>;
  return (
    <>
      <span class="abnormal">
        <span aria-hidden="true">◆</span> Failed:
      </span>{' '}
      {run.error.message}. {isNews && <span class="probe-do">What to do: {run.error.action}.</span>}
    </>
  );
}

function particulars({ startedAt, endedAt, outcome, tries, askedBy }: ProbeRunView): string {
  const seconds = (Date.parse(endedAt) - Date.parse(startedAt)) / 1000;
  const took = `took ${seconds < 10 ? seconds.toFixed(1) : Math.round(seconds)} s`;
  return [
    ...(outcome === 'held' ? [] : [took]),
    ...(tries > 1 ? [`${tries} tries`] : []),
    ...(askedBy === null ? [] : [`asked for by ${askedBy}`]),
  ].join(', ');
}
