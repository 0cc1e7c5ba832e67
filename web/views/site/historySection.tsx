import { useMemo, useState } from 'preact/hooks';
import type { HistoryView, PointView, SiteView } from '../../../api/schemas/site.ts';
import { withQuery } from '../../client.ts';
import { Failure, Waiting } from '../../parts/notice.tsx';
import { paths } from '../../paths.ts';
import { useLoad } from '../../useLoad.ts';
import { HistoryPicture } from './historyPicture.tsx';

const DAY_MS = 86_400_000;

const RANGES = [
  { name: '3 days', days: 3 },
  { name: '30 days', days: 30 },
  { name: '120 days', days: 120 },
  { name: 'All', days: null },
] as const;

/** Level, tilt and MER margin over a chosen stretch of time. */
export function HistorySection({ view, point }: { view: SiteView; point: PointView }) {
  const [days, setDays] = useState<number | null>(30);
  const untilMs = Date.parse(point.latest?.at ?? view.site.lastSweepAt ?? new Date().toISOString());
  const path = useMemo(() => {
    const from = new Date(days === null ? 0 : untilMs - days * DAY_MS).toISOString();
    const to = new Date(untilMs).toISOString();
    return withQuery(paths.history(view.site.siteId, point.pointId), { from, to });
  }, [view.site.siteId, point.pointId, days, untilMs]);
  const { data: history, error, reload } = useLoad<HistoryView>(path);
  return (
    <section class="panel" aria-labelledby="history-title">
      <div class="section-head">
        <h3 id="history-title">Over time</h3>
        <fieldset class="ranges no-print">
          <legend class="sr-only">Stretch of time shown</legend>
          {RANGES.map((range) => (
            <button
              key={range.name}
              type="button"
              class="small"
              aria-pressed={range.days === days}
              onClick={() => setDays(range.days)}
            >
              {range.name}
            </button>
          ))}
        </fieldset>
      </div>
      {error && <Failure error={error} onRetry={reload} />}
      {!history && !error && <Waiting what="the history" />}
      {history && history.times.length === 0 && <p class="quiet">No sweeps in this stretch of time.</p>}
      {history && history.times.length > 0 && (
        <HistoryPicture history={history} timeZone={view.site.timeZone} />
      )}
    </section>
  );
}
