import { useCallback } from 'preact/hooks';
import type { Verdict } from '../../../api/schemas/common.ts';
import type { FleetPage } from '../../../api/schemas/fleet.ts';
import { withQuery } from '../../client.ts';
import { formatDaysLeft, formatOutletDays, plural } from '../../format.ts';
import { Link } from '../../parts/link.tsx';
import { Empty, Failure, Waiting } from '../../parts/notice.tsx';
import { paths } from '../../paths.ts';
import { navigate, useAddress } from '../../router.ts';
import { useLoad } from '../../useLoad.ts';
import { useTitle } from '../../useTitle.ts';
import { VERDICTS } from '../../words.ts';
import { FleetFilters } from './fleetFilters.tsx';
import { FleetList } from './fleetList.tsx';
import { today } from './today.ts';
import { type FleetQuestion, useFleetPages } from './useFleetPages.ts';

const REFRESH_MS = 60_000;

/** The first page of the day: what to do, at which site, and why. */
export function FleetView() {
  const question = questionFrom(useAddress().searchParams);
  const pages = useFleetPages(question);
  const summary = useLoad<FleetPage>(`${paths.fleet}?limit=1`, REFRESH_MS);

  const ask = useCallback(({ search, verdict }: FleetQuestion) => {
    navigate(withQuery('/', { search, verdict }), { replace: true });
    scrollTo(0, 0);
  }, []);

  useTitle('Fleet');
  return (
    <main class="page fleet" id="main">
      {summary.data ? <FleetToday page={summary.data} /> : <h1 tabIndex={-1}>Fleet</h1>}
      {summary.data?.sites === 0 ? (
        <Empty>
          <p>
            Sites appear here once they are set up. <Link href="/setup/new-site">Set up the first site</Link>,
            or start with its <Link href="/setup/plans">channel plan</Link>.
          </p>
        </Empty>
      ) : (
        <>
          <FleetFilters question={question} page={pages.page} onAsk={ask} />
          {pages.error && <Failure error={pages.error} onRetry={pages.reload} />}
          {!pages.page && !pages.error && <Waiting what="the fleet" />}
          <p class="sr-only" role="status">
            {pages.page ? `${plural(pages.page.total, 'site')} shown` : ''}
          </p>
          {pages.page?.total === 0 && (
            <Empty>
              <p>
                No site matches. <Link href="/">Show all sites</Link>
              </p>
            </Empty>
          )}
          {pages.page && pages.page.total > 0 && <FleetList pages={pages} />}
        </>
      )}
    </main>
  );
}

function FleetToday({ page }: { page: FleetPage }) {
  const { sentence, startWith } = today(page);
  return (
    <header class="fleet-today">
      <h1 tabIndex={-1}>
        {sentence}
        {startWith && (
          <>
            {' '}
            Start with{' '}
            <Link href={`/sites/${startWith.siteId}`}>
              {startWith.name}
              {startWith.town && `, ${startWith.town}`}
            </Link>
            .
          </>
        )}
      </h1>
      {startWith && (
        <p class="lead">
          {startWith.sentence}{' '}
          <span class="quiet">
            At risk over the next 14 days: {formatOutletDays(startWith.outletDays)} outlet-days
            {startWith.daysToLimit !== null &&
              `; left until a limit: ${formatDaysLeft(startWith.daysToLimit)}`}
            .
          </span>
        </p>
      )}
    </header>
  );
}

function questionFrom(query: URLSearchParams): FleetQuestion {
  const asked = query.get('verdict');
  const verdict = VERDICTS.find((known): known is Verdict => known === asked) ?? null;
  return { search: query.get('search') ?? '', verdict };
}
