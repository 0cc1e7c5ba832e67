import type { Alert } from './alert.ts';
import { createEngine } from './engineUnderTest.ts';
import { DAY_MS, type FleetSite, withFaults } from './fleet.ts';
import { sweepsOf } from './sweepsOf.ts';
import { createTodayWatch, TODAY, type TodayMethod, type TodayWatch } from './today.ts';

/** A fault that is not found by then is missed. */
export const LONGEST_DAYS = 30;
/** Causes are judged once more when the engine has had this long. */
const AFTER_DETECTION_DAYS = 3;
const LOOK_EVERY_MS = 6 * 3_600_000;
const SAME_ALERT_MS = 6 * 3_600_000;

/** One alert told after the onset: as it was told first, and last. */
export interface Told {
  readonly first: Alert;
  readonly firstMs: number;
  latest: Alert;
  latestMs: number;
}

export interface Watched {
  /** In the order in which they were first told. */
  readonly told: readonly Told[];
  /** Alerts told before the onset; they don't count afterwards either. */
  readonly before: number;
  readonly caughtToday: readonly TodayMethod[];
}

/**
 * Lets the engine, and what people use today, watch a faulty site until 30 days after the onset or three days after the first
 * alert. When the first alert is `isDoubtful`, alerts that the same site raises without the fault are no detections and are left
 * out: the simulator draws the same noise for both.
 */
export function watchSite(site: FleetSite, onsetMs: number, isDoubtful: (first: Told) => boolean): Watched {
  const watched = watch(site, onsetMs, () => false, AFTER_DETECTION_DAYS);
  const [first] = watched.told;
  if (first === undefined || !isDoubtful(first)) return watched;

  const chance = watch(withFaults(site, []), onsetMs, () => false, LONGEST_DAYS).told;
  const isChance = (alert: Alert, atMs: number) =>
    chance.some((other) => Math.abs(other.firstMs - atMs) <= SAME_ALERT_MS && isAlike(other.first, alert));
  if (!isChance(first.first, first.firstMs)) return watched;
  return watch(site, onsetMs, isChance, AFTER_DETECTION_DAYS);
}

function isAlike(a: Alert, b: Alert): boolean {
  return a.kind === b.kind && a.metric === b.metric && a.hops.join() === b.hops.join();
}

function watch(
  site: FleetSite,
  onsetMs: number,
  isChance: (alert: Alert, atMs: number) => boolean,
  daysAfterFirst: number,
): Watched {
  const engine = createEngine(site.evaluated);
  const today = createTodayWatch(site.evaluated);
  const ignored = new Set<string>();
  const told = new Map<string, Told>();
  const caught = new Set<TodayMethod>();
  const lastMs = onsetMs + LONGEST_DAYS * DAY_MS;
  let [untilMs, before] = [lastMs, 0];

  const hear = (alert: Alert, atMs: number) => {
    const known = told.get(alert.id);
    if (known) Object.assign(known, { latest: alert, latestMs: atMs });
    if (known || ignored.has(alert.id)) return;
    if (atMs < onsetMs || isChance(alert, atMs)) {
      ignored.add(alert.id);
      if (atMs < onsetMs) before++;
      return;
    }
    told.set(alert.id, { first: alert, firstMs: atMs, latest: alert, latestMs: atMs });
    if (told.size === 1) untilMs = Math.min(lastMs, atMs + daysAfterFirst * DAY_MS);
  };
  for (const { point, sweep } of sweepsOf(site, site.evaluated.startMs, lastMs)) {
    const { atMs } = sweep;
    if (atMs >= untilMs) break;
    for (const method of today.take(point, sweep)) if (atMs >= onsetMs) caught.add(method);
    for (const alert of engine.take(point, sweep)) hear(alert, atMs);
  }
  lookOn(site, today, caught, untilMs, lastMs);
  return { told: [...told.values()], before, caughtToday: [...caught] };
}

/** What is used today has the rest of the 30 days too: three rounds of sweeps every six hours show it. */
function lookOn(
  site: FleetSite,
  today: TodayWatch,
  caught: Set<TodayMethod>,
  fromMs: number,
  toMs: number,
): void {
  for (let atMs = fromMs; atMs < toMs && caught.size < TODAY.length; atMs += LOOK_EVERY_MS) {
    for (const { point, sweep } of sweepsOf(site, atMs, atMs + 3 * site.evaluated.intervalMs)) {
      for (const method of today.take(point, sweep)) caught.add(method);
    }
  }
}
