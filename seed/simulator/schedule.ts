/** A stretch of time swept at one pace. */
export interface Pace {
  readonly fromMs: number;
  readonly toMs: number;
  readonly intervalMs: number;
}

/**
 * Times at which a point is swept: each pace's whole multiples of its interval, moved by `phaseMs`, from
 * `fromMs` up to and without `toMs`. They don't depend on where a stretch is cut, so sending a part again gives the
 * same sweeps.
 */
export function sweepTimes(paces: readonly Pace[], phaseMs: number): number[] {
  return paces.flatMap(({ fromMs, toMs, intervalMs }) => {
    if (!(intervalMs > 0)) throw new RangeError(`intervalMs is ${intervalMs}; it must be above 0`);
    const times: number[] = [];
    const first = Math.ceil((fromMs - phaseMs) / intervalMs) * intervalMs + phaseMs;
    for (let atMs = first; atMs < toMs; atMs += intervalMs) times.push(atMs);
    return times;
  });
}
