/** What a first look at one frequency gave; null is "not measured". */
export interface ScannedCarrier {
  readonly freqMhz: number;
  /** Null where the carrier was looked for and not found. */
  readonly levelDbmv: number | null;
  readonly merDb: number | null;
  readonly cnrDb: number | null;
}
