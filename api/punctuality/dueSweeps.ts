import { median } from '../../ingest/signal/median.ts';
import { isInterrupted, type Window } from '../maintenance/window.ts';
import { chanceShare, isNoChance, LATE_CHANCE, TOLD_CHANCE } from './chance.ts';
import type { DueTrouble, PointReadings } from './types.ts';

/** From so many gaps the pace that a point keeps is known. */
const FEWEST_GAPS = 6;

/**
 * Whether a point's next sweep is late or absent: so many in a row are due and haven't come as the point, by its own past, hardly ever
 * misses in a row. Nothing is due while people work on the plant; after it the count begins anew. Null when all is well, and for a
 * point that never had a sweep.
 */
export function judgeDue(
  { lastMs, intervalS, sweeps }: PointReadings,
  windows: readonly Window[],
  nowMs: number,
): DueTrouble | null {
  const countedFromMs = lastMs === null ? null : dueFrom(lastMs, windows, nowMs);
  if (lastMs === null || countedFromMs === null) return null;
  const { paceMs, share } = paceOf(
    sweeps.map(({ atMs }) => atMs),
    intervalS * 1000,
    windows,
  );
  const missed = Math.ceil((nowMs - countedFromMs) / paceMs) - 1;
  if (!isNoChance(missed, share, LATE_CHANCE)) return null;
  const kind = isNoChance(missed, share, TOLD_CHANCE) ? 'absent' : 'late';
  return { kind, sinceMs: lastMs, dueMs: countedFromMs + paceMs, missed };
}

/** The moment after which the next sweep is due an interval later; null while nothing is due. */
export function dueFrom(lastMs: number, windows: readonly Window[], nowMs: number): number | null {
  let fromMs = lastMs;
  for (const window of windows) {
    if (window.fromMs > nowMs || window.toMs <= lastMs) continue;
    if (window.toMs > nowMs) return null;
    fromMs = Math.max(fromMs, window.toMs);
  }
  return fromMs;
}

/**
 * The usual time between sweeps where it is longer than what is set, and the share of gaps in which one was missed by chance. An outage
 * of days is one such gap, however much it lacks. `timesMs` fall.
 */
function paceOf(
  timesMs: readonly number[],
  intervalMs: number,
  windows: readonly Window[],
): { paceMs: number; share: number } {
  const gaps = timesMs
    .slice(1)
    .map((earlier, i) => ({ earlier, gapMs: timesMs[i]! - earlier }))
    .filter(({ earlier, gapMs }) => !isInterrupted(windows, earlier, earlier + gapMs))
    .map(({ gapMs }) => gapMs);
  const paceMs = Math.max(intervalMs, gaps.length < FEWEST_GAPS ? 0 : (median(gaps) ?? 0));
  const missed = gaps.filter((gapMs) => Math.round(gapMs / paceMs) > 1).length;
  return { paceMs, share: chanceShare(missed, gaps.length) };
}
