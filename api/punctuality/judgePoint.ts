import { type Window, windowAt } from '../maintenance/window.ts';
import { judgeDue } from './dueSweeps.ts';
import { judgeFrozen } from './frozenSweeps.ts';
import { judgeSchedule } from './offSchedule.ts';
import { judgePartial } from './partialSweeps.ts';
import type { PointReadings, PointTrouble } from './types.ts';

/**
 * All that is wrong with the coming of a point's sweeps. While people work on the plant nothing is, and where none come, what the last
 * ones looked like is no news any more.
 */
export function judgePoint(
  readings: PointReadings,
  windows: readonly Window[],
  nowMs: number,
): PointTrouble[] {
  if (windowAt(windows, nowMs) !== null) return [];
  const due = judgeDue(readings, windows, nowMs);
  if (due?.kind === 'absent') return [due];
  const others = [judgeFrozen(readings), judgePartial(readings), judgeSchedule(readings, windows)];
  return [...others, due].filter((trouble) => trouble !== null);
}
