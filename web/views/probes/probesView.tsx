import type { ProbeFleet, ProbeStanding } from '../../../api/schemas/probes.ts';
import { withQuery } from '../../client.ts';
import { formatCount, plural } from '../../format.ts';
import { Link } from '../../parts/link.tsx';
import { Empty, Failure, Waiting } from '../../parts/notice.tsx';
import { paths } from '../../paths.ts';
import { navigate, useAddress } from '../../router.ts';
import { useLoad } from '../../useLoad.ts';
import { useTitle } from '../../useTitle.ts';
import { FleetSearch } from '../fleet/fleetFilters.tsx';
import { ProbeLine } from './probeLine.tsx';
import { probesToday, STANDINGS } from './probeWords.ts';
import { StandingMark } from './standingMark.tsx';

const REFRESH_MS = 30_000;
const PAGE_ROWS = 100;

interface Question {
  readonly search: string;
  readonly standing: ProbeStanding | null;
  readonly page: number;
}

/** Every instrument that the servers read by themselves, worst first. */
export function ProbesView() {
  const question = questionFrom(useAddress().searchParams);
  const { search, standing, page } = question;
  const { data, error, reload } = useLoad<ProbeFleet>(
    withQuery(paths.probes, { search, standing, offset: page * PAGE_ROWS, limit: PAGE_ROWS }),
    REFRESH_MS,
  );
  useTitle('Probes');
  return (
    <main class="page probes" id="main">
      <header class="fleet-today">
        <h1 tabIndex={-1}>
          {data ? probesToday(data.probes, data.counts.failing ?? 0, data.counts.late ?? 0) : 'Probes'}
        </h1>
        <p class="quiet">
          Probes are instruments that the server reaches and reads by itself. Those that are failing come
          first, the longest without a reading at the top.
        </p>
      </header>
      {error && <Failure error={error} onRetry={reload} />}
      {!data && !error && <Waiting what="the probes" />}
      {data?.probes === 0 && (
        <Empty>
          <p>
            A probe is set up with its site: choose one under <Link href="/setup">Set-up</Link>. Where the
            server cannot reach the instruments, the agent on site reads them and they do not show here.
          </p>
        </Empty>
      )}
      {data && data.probes > 0 && (
        <>
          <Filters question={question} data={data} />
          {data.total === 0 && (
            <Empty>
              <p>
                No probe matches. <Link href="/probes">Show all probes</Link>
              </p>
            </Empty>
          )}
          <ol class="probe-list" start={page * PAGE_ROWS + 1}>
            {data.rows.map((row) => (
              <ProbeLine key={`${row.siteId} ${row.probeId}`} row={row} />
            ))}
          </ol>
          <Pages question={question} total={data.total} />
        </>
      )}
    </main>
  );
}

function Filters({ question, data }: { question: Question; data: ProbeFleet }) {
  const matching = STANDINGS.reduce((sum, name) => sum + (data.counts[name] ?? 0), 0);
  const choose = (standing: ProbeStanding | null) => ask({ ...question, standing, page: 0 });
  return (
    <div class="fleet-filters no-print">
      <fieldset class="filter-buttons">
        <legend class="sr-only">Show probes by standing</legend>
        <button type="button" aria-pressed={question.standing === null} onClick={() => choose(null)}>
          All <span class="count">{formatCount(matching)}</span>
        </button>
        {STANDINGS.map((standing) => (
          <button
            key={standing}
            type="button"
            aria-pressed={question.standing === standing}
            onClick={() => choose(question.standing === standing ? null : standing)}
          >
            <StandingMark standing={standing} />{' '}
            <span class="count">{formatCount(data.counts[standing] ?? 0)}</span>
          </button>
        ))}
      </fieldset>
      <FleetSearch
        value={question.search}
        placeholder="probe, site, point or address"
        onSearch={(search) => ask({ ...question, search, page: 0 })}
      />
    </div>
  );
}

function Pages({ question, total }: { question: Question; total: number }) {
  const { page } = question;
  const last = Math.ceil(total / PAGE_ROWS) - 1;
  if (last <= 0) return null;
  return (
    <nav class="actions no-print" aria-label="Pages of the list">
      <button type="button" disabled={page === 0} onClick={() => ask({ ...question, page: page - 1 })}>
        Worse ones
      </button>
      <span class="quiet">
        {formatCount(page * PAGE_ROWS + 1)} to {formatCount(Math.min(total, (page + 1) * PAGE_ROWS))} of{' '}
        {plural(total, 'probe')}
      </span>
      <button type="button" disabled={page >= last} onClick={() => ask({ ...question, page: page + 1 })}>
        Better ones
      </button>
    </nav>
  );
}

function ask({ search, standing, page }: Question): void {
  navigate(withQuery('/probes', { search, standing, page: page === 0 ? null : page + 1 }), { replace: true });
  scrollTo(0, 0);
}

function questionFrom(query: URLSearchParams): Question {
  const standing = STANDINGS.find((name) => name === query.get('standing')) ?? null;
  const page = Math.max(0, Math.floor(Number(query.get('page') ?? 1)) - 1) || 0;
  return { search: query.get('search') ?? '', standing, page };
}
