import { ASSUMPTIONS } from './assumptions.ts';

const DAY_MS = 86_400_000;

/** Time past the moment the next sweep was due, an interval after `dueFromMs`, ms; 0 while it isn't, null when none is due. */
export function overdueMs(dueFromMs: number | null, intervalS: number, nowMs: number): number | null {
  return dueFromMs === null ? null : Math.max(0, nowMs - dueFromMs - intervalS * 1000);
}

/**
 * Probability that silence means lost service: nothing when the sweep isn't due, then
 * `ceiling·(1 − e^(−overdue/τ))`. Most silences are a probe or its link; the longer it lasts, the less sure.
 */
export function silenceProbability(overdue: number): number {
  const { silenceCeiling, silenceTimeDays } = ASSUMPTIONS;
  return silenceCeiling * (1 - Math.exp(-overdue / (silenceTimeDays * DAY_MS)));
}
