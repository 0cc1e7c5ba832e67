import { useCallback, useEffect, useState } from 'preact/hooks';
import type { AlertPage } from '../../../api/schemas/alerts.ts';
import { onAlertsChanged } from '../../alertsChanged.ts';
import { withQuery } from '../../client.ts';
import { plural } from '../../format.ts';
import { Link } from '../../parts/link.tsx';
import { Empty, Failure, Waiting } from '../../parts/notice.tsx';
import { paths } from '../../paths.ts';
import { navigate, useAddress } from '../../router.ts';
import { useMay } from '../../session.ts';
import { useLoad } from '../../useLoad.ts';
import { useTitle } from '../../useTitle.ts';
import { AlertActions } from './alertActions.tsx';
import { AlertFilters, type AlertQuestion, isNarrowed, questionFrom } from './alertFilters.tsx';
import { AlertList } from './alertList.tsx';

const REFRESH_MS = 30_000;
const PAGE_ROWS = 100;
const MOST_ROWS = 500;

/** What people are told of, those that cost most first; several are dealt with at once. */
export function AlertsView() {
  const question = questionFrom(useAddress().searchParams);
  const [rows, setRows] = useState(PAGE_ROWS);
  const address = withQuery(paths.alerts, { ...question, limit: rows });
  const { data: page, error, reload } = useLoad<AlertPage>(address, REFRESH_MS);
  const [chosen, setChosen] = useState<ReadonlySet<number>>(new Set());
  const mayAct = useMay('technician');
  useEffect(() => onAlertsChanged(reload), [reload]);

  const ask = useCallback((asked: AlertQuestion) => {
    setRows(PAGE_ROWS);
    setChosen(new Set());
    navigate(withQuery('/alerts', { ...asked }), { replace: true });
  }, []);
  const choose = useCallback((alertId: number, isChosen: boolean) => {
    setChosen((old) => {
      const now = new Set(old);
      if (isChosen) now.add(alertId);
      else now.delete(alertId);
      return now;
    });
  }, []);

  const shown = page?.rows ?? [];
  const picked = shown.filter(({ alertId }) => chosen.has(alertId));
  useTitle('Alerts');
  return (
    <main class="page alerts" id="main">
      <header class="alerts-head">
        <h1 tabIndex={-1}>Alerts</h1>
        {page && <p class="lead">{inOneSentence(page)}</p>}
      </header>
      <AlertFilters question={question} page={page} onAsk={ask} />
      {error && <Failure error={error} onRetry={reload} />}
      {!page && !error && <Waiting what="the alerts" />}
      <p class="sr-only" role="status">
        {page ? `${plural(page.total, 'alert')} found` : ''}
      </p>
      {page?.total === 0 && <NothingHere isNarrowed={isNarrowed(question)} />}
      {shown.length > 0 && <AlertList alerts={shown} chosen={chosen} onChoose={mayAct ? choose : null} />}
      {page && page.total > shown.length && rows < MOST_ROWS && (
        <button type="button" class="alerts-more no-print" onClick={() => setRows(MOST_ROWS)}>
          Show more of {plural(page.total, 'alert')}
        </button>
      )}
      {picked.length > 0 && (
        <section class="alerts-chosen no-print" aria-label="What to do with those chosen">
          <p>
            <strong>{plural(picked.length, 'alert')} chosen</strong>{' '}
            <button type="button" class="small plain" onClick={() => setChosen(new Set())}>
              Choose none
            </button>
          </p>
          <AlertActions alerts={picked} onDone={() => setChosen(new Set())} />
        </section>
      )}
    </main>
  );
}

function inOneSentence({ unacknowledged, states }: AlertPage): string {
  const active = (states['active-unacknowledged'] ?? 0) + (states['active-acknowledged'] ?? 0);
  if (active + unacknowledged === 0) return 'Nothing to deal with.';
  const waiting =
    unacknowledged === 0 ? 'every one acknowledged' : `${unacknowledged} that nobody has acknowledged`;
  return `${plural(active, 'active alert')}; ${waiting}. Those that cost most outlet-days of service come first.`;
}

function NothingHere({ isNarrowed: narrowed }: { isNarrowed: boolean }) {
  return (
    <Empty>
      {narrowed ? (
        <p>
          No alert matches. <Link href="/alerts">Show what there is to deal with</Link>
        </p>
      ) : (
        <p>
          No alert stands. One appears here when a finding has stood long enough to act on, or when a site
          stops sending sweeps.
        </p>
      )}
    </Empty>
  );
}
