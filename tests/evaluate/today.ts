import { median } from '../../ingest/signal/median.ts';
import type { Sweep } from '../../ingest/sweep.ts';
import { type DailyTrend, emptyDailyTrend, takeDaily } from './dailyTrend.ts';
import type { EvaluatedSite } from './evaluatedSite.ts';

/** What people use today, by common practice: limits on the latest sweep, a distance from the baseline, a textbook test for a trend. */
export const TODAY = [
  'fixed limits',
  'fixed limits, two sweeps',
  '3 dB from baseline',
  '3 dB, two sweeps',
  'trend of daily medians',
] as const;
export type TodayMethod = (typeof TODAY)[number];

const FAR_FROM_BASELINE_DB = 3;

/** Holds each sweep by itself against limits; answers the methods whose alarm goes off with this sweep. */
export interface TodayWatch {
  take(point: string, sweep: Sweep): readonly TodayMethod[];
}

interface PointWatch {
  readonly gathered: Sweep[];
  baselineDbmv: (number | null)[] | null;
  outside: boolean;
  far: boolean;
  readonly daily: DailyTrend;
  readonly ringing: Set<TodayMethod>;
}

export function createTodayWatch(site: EvaluatedSite): TodayWatch {
  const watches = new Map<string, PointWatch>(
    site.points.map(({ name }) => [
      name,
      {
        gathered: [],
        baselineDbmv: null,
        outside: false,
        far: false,
        daily: emptyDailyTrend(),
        ringing: new Set(),
      },
    ]),
  );
  return {
    take(point, sweep) {
      const watch = watches.get(point)!;
      if (sweep.atMs < site.baselineUntilMs) {
        watch.gathered.push(sweep);
        return [];
      }
      watch.baselineDbmv ??= sweep.freqMhz.map((_, i) => median(watch.gathered.map((s) => s.levelDbmv[i]!)));
      return judge(watch, watch.baselineDbmv, sweep, site);
    },
  };
}

function judge(
  watch: PointWatch,
  baselineDbmv: readonly (number | null)[],
  sweep: Sweep,
  site: EvaluatedSite,
): TodayMethod[] {
  const { levelBelowDb, levelAboveDb, merFloorDb } = site.limits;
  const isLost = sweep.lostMhz.length > 0;
  const outside =
    isLost ||
    beyond(sweep.levelDbmv, baselineDbmv, levelBelowDb, levelAboveDb) ||
    sweep.merDb!.some((mer) => mer !== null && mer < merFloorDb);
  const far = isLost || beyond(sweep.levelDbmv, baselineDbmv, FAR_FROM_BASELINE_DB, FAR_FROM_BASELINE_DB);

  const states: Record<TodayMethod, boolean> = {
    'fixed limits': outside,
    'fixed limits, two sweeps': outside && watch.outside,
    '3 dB from baseline': far,
    '3 dB, two sweeps': far && watch.far,
    'trend of daily medians': takeDaily(watch.daily, sweep),
  };
  watch.outside = outside;
  watch.far = far;
  return TODAY.filter((method) => {
    const starts = states[method] && !watch.ringing.has(method);
    if (states[method]) watch.ringing.add(method);
    else watch.ringing.delete(method);
    return starts;
  });
}

function beyond(
  levelDbmv: readonly (number | null)[],
  baselineDbmv: readonly (number | null)[],
  belowDb: number,
  aboveDb: number,
): boolean {
  return levelDbmv.some((level, i) => {
    const then = baselineDbmv[i]!;
    return level !== null && then !== null && (level < then - belowDb || level > then + aboveDb);
  });
}
