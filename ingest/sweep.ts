/**
 * One timed set of readings at one point, by one instrument, as the rest of the program sees it.
 * Arrays run parallel to `freqMhz`, which rises; `null` is "not measured".
 */
export interface Sweep {
  /** Event time, milliseconds since 1970-01-01 UTC. */
  readonly atMs: number;
  readonly instrument: string;
  /** Air temperature beside the cable, °C. */
  readonly ambientC: number | null;
  readonly freqMhz: readonly number[];
  readonly levelDbmv: readonly (number | null)[];
  readonly merDb: readonly (number | null)[] | null;
  readonly cnrDb: readonly (number | null)[] | null;
  readonly berPre: readonly (number | null)[] | null;
  readonly berPost: readonly (number | null)[] | null;
  /** Frequencies looked for and not found, MHz. */
  readonly lostMhz: readonly number[];
}
