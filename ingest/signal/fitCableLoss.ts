import type { CableModel } from './cableModel.ts';
import { leastSquares } from './leastSquares.ts';

/** A fitted model with the largest distance of a loss given from the curve, in dB per 100 m like the model. */
export interface CableFit extends CableModel {
  readonly maxResidualDb: number;
}

/**
 * The model a·√f + b·f nearest to a table of losses, by least squares. Neither a nor b is forced positive: published
 * tables of rounded maxima fit best with a slightly negative b. Don't use the fit far outside the table's band.
 *
 * @param freqMhz above 0
 * @param lossDbPer100M parallel to it, at 20 °C
 * @returns null when fewer than two different frequencies are given
 * @throws RangeError when the arrays differ in length or a frequency isn't above 0
 */
export function fitCableLoss(freqMhz: readonly number[], lossDbPer100M: readonly number[]): CableFit | null {
  const wrong = freqMhz.findIndex((mhz) => !(mhz > 0));
  if (wrong >= 0) throw new RangeError(`freqMhz[${wrong}] is ${freqMhz[wrong]}; give frequencies above 0`);

  const coefficients = leastSquares([freqMhz.map(Math.sqrt), freqMhz], lossDbPer100M);
  if (coefficients === null) return null;
  const [a, b] = coefficients as [number, number];
  const residuals = freqMhz.map((mhz, i) => Math.abs(lossDbPer100M[i]! - a * Math.sqrt(mhz) - b * mhz));
  return { a, b, maxResidualDb: Math.max(...residuals) };
}
