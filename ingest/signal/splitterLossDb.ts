/**
 * Loss from input to each output of a splitter that divides power equally and wastes none: 10·log10(n) dB. Real ones
 * lose 0.3 to 2.5 dB more (common practice, no source).
 *
 * @throws RangeError when `ways` isn't a whole number of 1 or more
 *
 * @example splitterLossDb(4) // 6.02
 */
export function splitterLossDb(ways: number): number {
  if (!Number.isInteger(ways) || ways < 1) throw new RangeError(`ways is ${ways}; give 1, 2, 3…`);
  return 10 * Math.log10(ways);
}
