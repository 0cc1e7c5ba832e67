import { normalCdf } from '../trend/statistics/normal.ts';
import { ASSUMPTIONS } from './assumptions.ts';

/** Beyond it lies 1e-15: nothing that could be told from 0. Most channels of a healthy plant are there. */
const FAR_DEVIATIONS = 8;

/** One service limit of one channel, as far as the future is concerned. */
export interface ServiceMargin {
  /** dB left to the limit; negative when outside. */
  readonly marginDb: number;
  /** How fast the margin shrinks, dB a day; a growing margin earns no credit and counts as 0. */
  readonly worseningDbPerDay: number;
  /** One standard deviation of that rate, dB a day. */
  readonly worseningSdDbPerDay: number;
}

/**
 * Probability that a limit is broken `days` after the sweep that gave the margin.
 *
 * The margin then is `m − d·t`; its standard deviation grows with the reading's own noise, the uncertainty of
 * the rate and the wander of a healthy plant: `√(s² + (σ_d·t)² + w²·t)`. Once the margin is used up, time adds
 * no doubt in its favour: the reading's own noise alone is taken. So the probability never falls with time.
 */
export function probabilityOutside(margin: ServiceMargin, days: number): number {
  const { readingSdDb, wanderDbPerRootDay } = ASSUMPTIONS;
  const left = margin.marginDb - Math.max(0, margin.worseningDbPerDay) * days;
  if (left <= 0) return normalCdf(-left / readingSdDb);

  const rate = margin.worseningSdDbPerDay * days;
  const deviation = Math.sqrt(readingSdDb ** 2 + rate ** 2 + wanderDbPerRootDay ** 2 * days);
  return left > FAR_DEVIATIONS * deviation ? 0 : normalCdf(-left / deviation);
}
