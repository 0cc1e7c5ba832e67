import { VISIT_ASSUMPTIONS } from './assumptions.ts';
import { greatCircleKm, type Place } from './greatCircleKm.ts';

/** A plain estimate of a drive, minutes: great circle × detour ÷ speed, and time to park. Null stands for a place not known. */
export function driveMinutes(from: Place | null, to: Place | null): number {
  const { detourFactor, speedKmh, parkMinutes, unknownDriveMinutes } = VISIT_ASSUMPTIONS;
  if (from === null || to === null) return unknownDriveMinutes;
  return (greatCircleKm(from, to) * detourFactor * 60) / speedKmh + parkMinutes;
}
