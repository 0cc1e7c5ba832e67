/** Attempts before a message is given up. */
export const TRIES = 9;

const MINUTE_MS = 60_000;
/** Common practice, no source: soon at first, then rarely; about 30 hours in all. */
const DELAYS_MIN = [1, 3, 10, 30, 60, 180, 480, 1020];

/** How long to wait after the attempt of this number, counted from 1. */
export function retryDelayMs(attempt: number): number {
  return (DELAYS_MIN[Math.min(attempt, DELAYS_MIN.length) - 1] ?? 1) * MINUTE_MS;
}
