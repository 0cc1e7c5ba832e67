import { DBUV_ABOVE_DBMV } from './dbmvToDbuv.ts';

/** Level in dBmV from dBµV, any impedance. Exact. */
export function dbuvToDbmv(levelDbuv: number): number {
  return levelDbuv - DBUV_ABOVE_DBMV;
}
