import { gaussianAt } from './random.ts';

/** A noise with memory: standard deviation, and the correlation between one step and the next. */
export interface CorrelatedNoise {
  readonly sd: number;
  readonly stepMs: number;
  readonly correlation: number;
}

/**
 * First-order autoregressive noise at `atMs` as a function of time alone: held through each step, with the
 * stated correlation from step to step. The past is summed until it weighs less than 1 %.
 */
export function steppedNoise(seed: number, atMs: number, noise: CorrelatedNoise): number {
  return noise.sd * knot(seed, Math.floor(atMs / noise.stepMs), noise.correlation);
}

/** The same noise drawn as straight lines from step to step, scaled to keep its standard deviation between. */
export function smoothNoise(seed: number, atMs: number, noise: CorrelatedNoise): number {
  const step = Math.floor(atMs / noise.stepMs);
  const after = atMs / noise.stepMs - step;
  const before = 1 - after;
  const mixed =
    before * knot(seed, step, noise.correlation) + after * knot(seed, step + 1, noise.correlation);
  const spread = Math.sqrt(before * before + after * after + 2 * before * after * noise.correlation);
  return (noise.sd * mixed) / spread;
}

function knot(seed: number, step: number, correlation: number): number {
  if (correlation === 0) return gaussianAt(seed, step);
  const past = Math.ceil(Math.log(0.01) / Math.log(correlation));
  let sum = 0;
  let weight = 1;
  for (let back = 0; back <= past; back += 1) {
    sum += weight * gaussianAt(seed, step - back);
    weight *= correlation;
  }
  return sum * Math.sqrt(1 - correlation * correlation);
}
