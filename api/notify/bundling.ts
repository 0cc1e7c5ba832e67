import { type Hours, nextOpenMs } from './quietHours.ts';

/** A minute in which whatever else comes up for the same person joins the same message. */
export const GATHER_MS = 60_000;

/** When a message goes out. `held`: quiet hours keep it back. */
export interface Slot {
  readonly sendMs: number;
  readonly held: boolean;
}

/** The slot of something to be told at `atMs`. Without hours (a webhook) it goes at once. */
export function slotOf(hours: Hours | null, throughQuiet: boolean, atMs: number): Slot {
  if (hours === null) return { sendMs: atMs, held: false };
  const openMs = throughQuiet ? atMs : nextOpenMs(hours, atMs);
  return openMs > atMs ? { sendMs: openMs, held: true } : { sendMs: atMs + GATHER_MS, held: false };
}

/** Whether what belongs in `slot`, made at `atMs`, joins a message that waits for `waiting`. */
export function joins(waiting: Slot, slot: Slot, atMs: number): boolean {
  return waiting.held === slot.held && waiting.sendMs >= atMs && waiting.sendMs <= slot.sendMs;
}
