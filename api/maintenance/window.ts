/** A stretch of event time in which people work on the plant; `toMs` is the first moment after it. */
export interface Window {
  readonly fromMs: number;
  readonly toMs: number;
}

/** The window that holds a moment; null when none does. */
export function windowAt<W extends Window>(windows: readonly W[], atMs: number): W | null {
  return windows.find(({ fromMs, toMs }) => fromMs <= atMs && atMs < toMs) ?? null;
}

/** Whether some of the time after `sinceMs` and up to `untilMs` lies in a window. */
export function isInterrupted(windows: readonly Window[], sinceMs: number, untilMs: number): boolean {
  return windows.some(({ fromMs, toMs }) => fromMs <= untilMs && toMs > sinceMs);
}
