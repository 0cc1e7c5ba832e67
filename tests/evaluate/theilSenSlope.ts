import { median } from '../../ingest/signal/median.ts';

/** Theil and Sen's slope of values at even spacing: the median over the slopes of all pairs (Sen, JASA 63, 1968). Null with fewer than 2. */
export function theilSenSlope(values: readonly number[]): number | null {
  const slopes = values.flatMap((value, i) =>
    values.slice(i + 1).map((later, ahead) => (later - value) / (ahead + 1)),
  );
  return median(slopes);
}
