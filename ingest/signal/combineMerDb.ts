import { sumPowersDbmv } from './sumPowersDbmv.ts';

/**
 * MER (or CNR) after several independent impairments, each given as the MER it would leave alone: their noise powers
 * add. Two equal ones cost 3 dB, and the worst bounds the result.
 *
 * @param merDb dB; null is "not known" and adds no noise
 * @returns dB; null when none is known
 *
 * @example combineMerDb([38, 35]) // 33.236
 */
export function combineMerDb(merDb: readonly (number | null)[]): number | null {
  const noise = sumPowersDbmv(merDb.map((mer) => (mer === null ? null : -mer)));
  return noise === null ? null : -noise;
}
