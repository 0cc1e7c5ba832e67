import { DAY_MS } from './types.ts';

/** Share of the stretch that lies after the onset. */
export function shareAfter(onsetMs: number, fromMs: number, toMs: number): number {
  if (toMs <= fromMs) return toMs >= onsetMs ? 1 : 0;
  return Math.min(1, Math.max(0, (toMs - onsetMs) / (toMs - fromMs)));
}

/** Mean over the stretch of the days gone by since the onset, 0 before it. */
export function meanDaysAfter(onsetMs: number, fromMs: number, toMs: number): number {
  if (toMs <= onsetMs) return 0;
  const from = Math.max(fromMs, onsetMs);
  const middleDays = ((from + toMs) / 2 - onsetMs) / DAY_MS;
  return middleDays * shareAfter(onsetMs, fromMs, toMs);
}
