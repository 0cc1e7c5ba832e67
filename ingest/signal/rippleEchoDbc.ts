/**
 * Strength of the echo that makes a ripple: undoes `echoRippleDb`.
 *
 * @param rippleDb peak to peak, above 0
 * @returns dB relative to the carrier, below 0
 * @throws RangeError when the ripple isn't above 0
 *
 * @example rippleEchoDbc(1.743) // -20
 */
export function rippleEchoDbc(rippleDb: number): number {
  if (!(rippleDb > 0)) throw new RangeError(`rippleDb is ${rippleDb}; give a ripple above 0 dB`);
  const ratio = 10 ** (rippleDb / 20);
  return 20 * Math.log10((ratio - 1) / (ratio + 1));
}
