import { createEngine } from './engineUnderTest.ts';
import { DAY_MS, makeSite } from './fleet.ts';
import type { Setting } from './settings.ts';
import { sweepsOf } from './sweepsOf.ts';
import { createTodayWatch, TODAY, type TodayMethod } from './today.ts';

const COUNTED_FROM_DAY = 14;

/** One site without faults: alerts told all the same. */
export interface QuietResult {
  readonly index: number;
  /** Time counted, after the first two weeks. */
  readonly years: number;
  readonly alerts: readonly FalseAlert[];
  readonly today: Readonly<Record<TodayMethod, number>>;
}

export interface FalseAlert {
  readonly kind: string;
  readonly metric: string;
  readonly hop: string;
  readonly day: number;
  readonly sizeDb: number;
}

/** Watches the `index`-th fault-free site of a seed for `days` days. */
export function runQuiet(seed: number, index: number, setting: Setting, days: number): QuietResult {
  const site = makeSite(seed, `quiet ${index}`, setting, index);
  const { startMs } = site.evaluated;
  const engine = createEngine(site.evaluated);
  const watch = createTodayWatch(site.evaluated);
  const known = new Set<string>();
  const alerts: FalseAlert[] = [];
  const today = Object.fromEntries(TODAY.map((method) => [method, 0])) as Record<TodayMethod, number>;

  for (const { point, sweep } of sweepsOf(site, startMs, startMs + days * DAY_MS)) {
    const day = (sweep.atMs - startMs) / DAY_MS;
    const isCounted = day >= COUNTED_FROM_DAY;
    for (const method of watch.take(point, sweep)) if (isCounted) today[method]++;
    for (const alert of engine.take(point, sweep)) {
      if (known.has(alert.id)) continue;
      known.add(alert.id);
      const { kind, metric, sizeDb, hops } = alert;
      if (isCounted) alerts.push({ kind, metric, sizeDb, hop: hops.join(' or '), day: Math.round(day) });
    }
  }
  return { index, years: Math.max(0, days - COUNTED_FROM_DAY) / 365, alerts, today };
}
