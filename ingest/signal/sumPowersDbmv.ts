/**
 * Level of several carriers together: their powers add, their dB values don't. N equal ones add 10·log10(N) dB.
 *
 * @param levelDbmv null is "not measured" and adds nothing
 * @returns dBmV; null when nothing was measured
 *
 * @example sumPowersDbmv([0, 3]) // 4.7643
 */
export function sumPowersDbmv(levelDbmv: readonly (number | null)[]): number | null {
  let power = 0;
  for (const level of levelDbmv) if (level !== null) power += 10 ** (level / 10);
  return power === 0 ? null : 10 * Math.log10(power);
}
