import { useContext, useState } from 'preact/hooks';
import type {
  DayProposal,
  NewVisitDay,
  VisitDaySummary,
  VisitResultView,
} from '../../../api/schemas/visits.ts';
import { get, post, withQuery } from '../../client.ts';
import { formatClock, formatDay, plural, zoneName } from '../../format.ts';
import { Link } from '../../parts/link.tsx';
import { Failure, Waiting } from '../../parts/notice.tsx';
import { paths } from '../../paths.ts';
import { navigate } from '../../router.ts';
import { MeContext, useMay } from '../../session.ts';
import { useLoad } from '../../useLoad.ts';
import { useSubmit } from '../../useSubmit.ts';
import { useTitle } from '../../useTitle.ts';
import { type DayQuestion, PlanForm } from './planForm.tsx';
import { Proposal } from './proposal.tsx';
import { ResultList } from './resultList.tsx';

/** From open alerts to a day on the road, and what came of it. */
export function VisitsView() {
  const days = useLoad<{ days: VisitDaySummary[] }>(paths.visitDays);
  const results = useLoad<{ results: VisitResultView[] }>(paths.visitResults);
  const mayPlan = useMay('technician');
  useTitle('Visits');
  return (
    <main class="page" id="main">
      <header class="page-head">
        <h1 tabIndex={-1}>Visits</h1>
        <p class="lead">
          From open alerts to a plan for the day: which building first, what to bring, what to check. A repair
          counts once fresh sweeps confirm it.
        </p>
      </header>
      {mayPlan && <PlanADay />}
      <section class="panel" aria-labelledby="days-title">
        <h2 id="days-title">Days</h2>
        {days.error && <Failure error={days.error} onRetry={days.reload} />}
        {!days.data && !days.error && <Waiting what="the days" />}
        {days.data?.days.length === 0 && <p class="quiet">No day has been kept in the last 30 days.</p>}
        <ul class="rows">
          {days.data?.days.map((day) => (
            <DayRow key={day.dayId} day={day} />
          ))}
        </ul>
      </section>
      <section class="panel" aria-labelledby="results-title">
        <h2 id="results-title">What came of it</h2>
        {results.error && <Failure error={results.error} onRetry={results.reload} />}
        {!results.data && !results.error && <Waiting what="the results" />}
        {results.data?.results.length === 0 && (
          <p class="quiet">No result yet. Open a day to record what was found and done.</p>
        )}
        <ResultList results={results.data?.results ?? []} named />
      </section>
    </main>
  );
}

function PlanADay() {
  const me = useContext(MeContext);
  const [question, setQuestion] = useState<DayQuestion | null>(null);
  const [without, setWithout] = useState<readonly number[]>([]);
  const [proposal, setProposal] = useState<DayProposal | null>(null);
  const { run, busy, error, fields } = useSubmit();

  const ask = (asked: DayQuestion, leaveOut: readonly number[]) =>
    run(async () => {
      const { from, to, startLatitude, startLongitude } = asked;
      const query = { from, to, startLatitude, startLongitude, without: leaveOut.join(',') };
      setProposal(await get<DayProposal>(withQuery(paths.visitProposals, query)));
      setQuestion(asked);
      setWithout(leaveOut);
    });
  const keep = () =>
    run(async () => {
      const day: NewVisitDay = { ...question!, siteIds: proposal!.stops.map(({ siteId }) => siteId) };
      const { dayId } = await post<{ dayId: number }>(paths.visitDays, day);
      navigate(`/visits/${dayId}`);
    });
  return (
    <>
      <section class="panel" aria-labelledby="plan-title">
        <h2 id="plan-title">Plan a day</h2>
        <PlanForm technician={me?.name ?? ''} busy={busy} fields={fields} onAsk={(asked) => ask(asked, [])} />
        {error && <Failure error={error} />}
      </section>
      {question && proposal && (
        <Proposal
          proposal={proposal}
          timeZone={question.timeZone}
          busy={busy}
          onLeaveOut={(siteId) => ask(question, [...without, siteId])}
          onTakeBack={(siteId) =>
            ask(
              question,
              without.filter((other) => other !== siteId),
            )
          }
          onKeep={keep}
        />
      )}
    </>
  );
}

function DayRow({ day }: { day: VisitDaySummary }) {
  const { dayId, technician, timeZone, fromAt, toAt, sites, results, cancelledBy } = day;
  return (
    <li>
      <Link href={`/visits/${dayId}`} class="row-link">
        {formatDay(fromAt, timeZone)}, {technician}
      </Link>
      <span>{sites.map(({ name }) => name).join(', ')}</span>
      <span class="quiet">
        {formatClock(fromAt, timeZone)} to {formatClock(toAt, timeZone)} {zoneName(fromAt, timeZone)} ·{' '}
        {cancelledBy === null ? `${plural(results, 'result')} recorded` : `cancelled by ${cancelledBy}`}
      </span>
    </li>
  );
}
