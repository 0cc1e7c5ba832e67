import { DBM_75_ABOVE_DBMV } from './dbmvToDbm75.ts';

/** Level in dBmV from power in dBm at 75 Ω. */
export function dbm75ToDbmv(powerDbm: number): number {
  return powerDbm - DBM_75_ABOVE_DBMV;
}
