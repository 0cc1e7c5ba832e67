import type { Finding } from '../trend/types.ts';

/**
 * Changes within this much, dB, are nothing in practice: so far may a signal at a receiver's input wander within one hour
 * and still hold the federal guide specification ("0.5 dB over 1 h", UFGS-16785A, Table IIa, page 11).
 */
export const PRACTICAL_FLOOR_DB = 0.5;
/** A limit that may be reached within this many days is news however small the change is so far. */
const AHEAD_DAYS = 90;

/**
 * Whether a finding is real but too small to act on: it has a size, the whole interval of that size lies within the floor,
 * and no limit is likely (one chance in ten) to be reached within 90 days.
 */
export function isWithinFloor({ kind, sizeLowDb, sizeHighDb, daysToLimit }: Finding): boolean {
  if (kind !== 'drift' && kind !== 'step') return false;
  if (daysToLimit !== null && daysToLimit.p10 <= AHEAD_DAYS) return false;
  return Math.max(Math.abs(sizeLowDb), Math.abs(sizeHighDb)) <= PRACTICAL_FLOOR_DB;
}
