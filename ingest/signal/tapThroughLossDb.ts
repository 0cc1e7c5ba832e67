/**
 * Loss along the line past a tap that takes its share and wastes nothing: -10·log10(1 - 10^(-tap/10)) dB.
 *
 * @param tapDb loss from the line to the tap's outlet
 * @throws RangeError when `tapDb` isn't above 0
 *
 * @example tapThroughLossDb(12) // 0.283
 */
export function tapThroughLossDb(tapDb: number): number {
  if (!(tapDb > 0)) throw new RangeError(`tapDb is ${tapDb}; give a loss above 0 dB`);
  return -10 * Math.log10(1 - 10 ** (-tapDb / 10));
}
