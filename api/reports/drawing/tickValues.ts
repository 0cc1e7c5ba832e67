export interface Ticks {
  readonly values: readonly number[];
  /** Decimals that the figures need. */
  readonly digits: number;
}

/** Round figures (1, 2 or 5 times a power of ten apart) between two bounds, about `wanted` of them. */
export function tickValues(low: number, high: number, wanted: number): Ticks {
  const rough = (high - low) / wanted;
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = [1, 2, 5, 10].map((factor) => factor * power).find((each) => each >= rough)!;
  const digits = Math.max(0, -Math.floor(Math.log10(step) + 1e-9));
  const first = Math.ceil(low / step - 1e-9);
  const last = Math.floor(high / step + 1e-9);
  return {
    values: Array.from({ length: last - first + 1 }, (_, i) => Number(((first + i) * step).toFixed(digits))),
    digits,
  };
}
