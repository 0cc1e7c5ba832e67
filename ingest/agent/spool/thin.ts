/** What thinning needs to know of a waiting sweep. */
export interface WaitingSweep {
  readonly id: number;
  readonly point: string;
  readonly instrument: string;
  readonly atMs: number;
  readonly bytes: number;
}

/** How much detail is left where a sweep was dropped. */
export type ThinnedTo = 'one an hour' | 'one a day' | 'nothing';

export interface Dropped {
  readonly sweep: WaitingSweep;
  readonly to: ThinnedTo;
}

const HOUR_MS = 3_600_000;
const DAY_MS = 24 * HOUR_MS;
/** Days that keep their detail as long as older ones can still give some. */
const WHOLE_DAYS = 2;

/**
 * Which sweeps to drop so that at least `bytes` come free. The oldest detail goes first: of days gone by one sweep
 * of each hour stays for every point and instrument, then one of each day; then the newest days give theirs in the
 * same way; at the very last the oldest sweeps go altogether.
 */
export function sweepsToThin(waiting: readonly WaitingSweep[], bytes: number): Dropped[] {
  const oldestFirst = waiting.toSorted((a, b) => a.atMs - b.atMs || a.id - b.id);
  const newestMs = oldestFirst.at(-1)?.atMs ?? 0;
  const isOld = ({ atMs }: WaitingSweep) => atMs < newestMs - WHOLE_DAYS * DAY_MS;
  const dropped = new Map<number, Dropped>();
  let freed = 0;

  const drop = (sweep: WaitingSweep, to: ThinnedTo) => {
    if (freed >= bytes || dropped.has(sweep.id)) return;
    dropped.set(sweep.id, { sweep, to });
    freed += sweep.bytes;
  };
  const keepOneEach = (spanMs: number, to: ThinnedTo, concerns: (sweep: WaitingSweep) => boolean) => {
    const kept = new Set<string>();
    for (const sweep of oldestFirst) {
      if (dropped.has(sweep.id) || !concerns(sweep)) continue;
      const span = `${sweep.point}\0${sweep.instrument}\0${Math.floor(sweep.atMs / spanMs)}`;
      if (kept.has(span)) drop(sweep, to);
      else kept.add(span);
    }
  };

  for (const concerns of [isOld, () => true]) {
    keepOneEach(HOUR_MS, 'one an hour', concerns);
    keepOneEach(DAY_MS, 'one a day', concerns);
  }
  for (const sweep of oldestFirst) drop(sweep, 'nothing');
  return [...dropped.values()];
}
