/**
 * Every number that the plan of a day assumes, in one place. All are common practice with no source; the page states them
 * beside the plan that they make.
 */
export const VISIT_ASSUMPTIONS = {
  /** Way by road over the straight line. */
  detourFactor: 1.3,
  /** Average over a drive with its lights and queues, km/h. */
  speedKmh: 40,
  /** To park and to come to the door, at the end of every drive, minutes. */
  parkMinutes: 5,
  /** Drive to or from a building whose coordinates nobody set, minutes. */
  unknownDriveMinutes: 30,
  /** To be let in, to sign, and to clear up, once a building, minutes. */
  accessMinutes: 15,
  /** Over these days a repair saves the outlet-days that the ranking expects, evenly. */
  horizonDays: 14,
} as const;
