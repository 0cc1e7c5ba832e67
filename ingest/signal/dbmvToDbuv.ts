/** 1 mV is 1000 µV: 20·log10(1000) dB. */
export const DBUV_ABOVE_DBMV = 60;

/** Level in dBµV from dBmV, any impedance. Exact. */
export function dbmvToDbuv(levelDbmv: number): number {
  return levelDbmv + DBUV_ABOVE_DBMV;
}
