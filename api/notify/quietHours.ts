import { localTime } from './localTime.ts';

/** When messages may reach somebody, on the clocks of their zone. */
export interface Hours {
  readonly timeZone: string;
  /** Minutes since midnight, in quarters of an hour; null: no quiet hours. `from` after `to` runs past midnight. */
  readonly quiet: { readonly fromMin: number; readonly toMin: number } | null;
  /** Days on which messages come, 1 for Monday to 7 for Sunday. */
  readonly workDays: readonly number[];
}

/** Every offset in use is whole quarters of an hour, so local quarters fall on quarters of UTC. */
const QUARTER_MS = 15 * 60_000;
const LOOK_AHEAD_MS = 8 * 86_400_000;

export function isQuiet(hours: Hours, atMs: number): boolean {
  const { minuteOfDay, weekday } = localTime(atMs, hours.timeZone);
  if (!hours.workDays.includes(weekday)) return true;
  if (hours.quiet === null) return false;
  const { fromMin, toMin } = hours.quiet;
  return fromMin < toMin
    ? minuteOfDay >= fromMin && minuteOfDay < toMin
    : minuteOfDay >= fromMin || minuteOfDay < toMin;
}

/** `atMs` itself outside quiet hours, or else the moment they end. Hours that are never over hold nothing back. */
export function nextOpenMs(hours: Hours, atMs: number): number {
  if (!isQuiet(hours, atMs)) return atMs;
  const first = (Math.floor(atMs / QUARTER_MS) + 1) * QUARTER_MS;
  for (let ms = first; ms <= atMs + LOOK_AHEAD_MS; ms += QUARTER_MS) {
    if (!isQuiet(hours, ms)) return ms;
  }
  return atMs;
}
