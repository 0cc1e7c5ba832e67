import { median } from '../../ingest/signal/median.ts';
import type { Sweep } from '../../ingest/sweep.ts';
import { DAY_MS } from './fleet.ts';
import { mannKendall } from './mannKendall.ts';
import { theilSenSlope } from './theilSenSlope.ts';

/** Two weeks of daily medians show a trend when chance gives one so clear once in a thousand days, and it is worth a word. */
const DAYS = 14;
const CHANCE = 1e-3;
const SMALLEST_DB_PER_DAY = 0.01;

/** Level and MER of one point by day, each the median over channels and sweeps: what a spreadsheet and a textbook test make of them. */
export interface DailyTrend {
  day: number;
  readonly sweeps: { level: number[]; mer: number[] };
  readonly days: { level: number[]; mer: number[] };
  isTrending: boolean;
}

export function emptyDailyTrend(): DailyTrend {
  return { day: 0, sweeps: { level: [], mer: [] }, days: { level: [], mer: [] }, isTrending: false };
}

/** Takes a sweep into `trend`; answers whether level or MER have a trend as of the last full day. */
export function takeDaily(trend: DailyTrend, sweep: Sweep): boolean {
  const day = Math.floor(sweep.atMs / DAY_MS);
  if (day !== trend.day) endDay(trend, day);
  const [level, mer] = [median(sweep.levelDbmv), median(sweep.merDb ?? [])];
  if (level !== null) trend.sweeps.level.push(level);
  if (mer !== null) trend.sweeps.mer.push(mer);
  return trend.isTrending;
}

function endDay(trend: DailyTrend, day: number): void {
  trend.day = day;
  trend.isTrending = false;
  for (const metric of ['level', 'mer'] as const) {
    const value = median(trend.sweeps[metric]);
    trend.sweeps[metric] = [];
    if (value !== null) trend.days[metric].push(value);
    trend.days[metric] = trend.days[metric].slice(-DAYS);
    trend.isTrending ||= hasTrend(trend.days[metric]);
  }
}

function hasTrend(days: readonly number[]): boolean {
  if (days.length < DAYS) return false;
  return mannKendall(days)!.p <= CHANCE && Math.abs(theilSenSlope(days)!) >= SMALLEST_DB_PER_DAY;
}
