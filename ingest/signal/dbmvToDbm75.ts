/** Power of 1 mV into 75 Ω, over 1 mW: 10·log10(1e-6 V² / 75 Ω / 1e-3 W) = -48.750612633917 dB. */
export const DBM_75_ABOVE_DBMV = 10 * Math.log10(1e-6 / 75 / 1e-3);

/** Power in dBm at 75 Ω from level in dBmV. A meter set to 50 Ω by mistake reads 1.76 dB off. */
export function dbmvToDbm75(levelDbmv: number): number {
  return levelDbmv + DBM_75_ABOVE_DBMV;
}
