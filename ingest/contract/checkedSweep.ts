/**
 * A sweep that keeps the contract, in the form it is stored in: rising frequency, whole hertz, hundredths of a dB
 * and of a °C. Its arrays are PostgreSQL array literals, so that they are written once and compared as text.
 */
export interface CheckedSweep {
  /** Place in the request. */
  readonly index: number;
  readonly point: string;
  readonly atMs: number;
  readonly instrument: string;
  readonly freqHz: readonly number[];
  readonly level: string;
  readonly mer: string | null;
  readonly cnr: string | null;
  readonly berPre: string | null;
  readonly berPost: string | null;
  readonly lost: string | null;
  readonly ambientCc: number | null;
}

/** Why a sweep was not taken, in the contract's form. */
export interface Rejection {
  readonly index: number;
  /** Such as `sweeps[3].level_dbmv[17]`. */
  readonly path: string;
  readonly reason: string;
}

/** What `POST /ingest/sweeps` answers after its commit. */
export interface IngestAnswer {
  readonly accepted: number;
  readonly duplicates: number;
  readonly rejected: readonly Rejection[];
}
