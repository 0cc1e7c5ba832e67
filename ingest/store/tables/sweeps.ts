import type { ColumnType, Generated, Selectable } from 'kysely';

export interface GridTable {
  site_id: number;
  grid_id: Generated<number>;
  freq_hz: number[];
}

/** Arrays run parallel to the grid's `freq_hz`; `_cdb` is hundredths of a dB, `_cc` hundredths of a °C. */
export interface SweepTable {
  site_id: number;
  point_id: number;
  at: Date;
  instrument: string;
  received_at: Date;
  grid_id: number;
  level_cdbmv: (number | null)[];
  mer_cdb: (number | null)[] | null;
  cnr_cdb: (number | null)[] | null;
  ber_pre: (number | null)[] | null;
  ber_post: (number | null)[] | null;
  lost_hz: number[] | null;
  ambient_cc: number | null;
}

/** What is left of a day's sweeps that were let go; `day` is its first moment, UTC. */
export interface DailyMedianTable {
  site_id: number;
  point_id: number;
  day: Date;
  sweeps: number;
  instruments: string[];
  freq_hz: number[];
  level_cdbmv: (number | null)[];
  mer_cdb: (number | null)[] | null;
  cnr_cdb: (number | null)[] | null;
  lost_hz: number[];
  ambient_cc: number | null;
}

/** "Something at this point is new from `first_at` on": sweeps, a baseline, a plan version, a limit. */
export interface ArrivalTable {
  site_id: number;
  arrival_id: Generated<number>;
  point_id: number;
  first_at: Date;
}

export interface RejectedSweepTable {
  site_id: number;
  rejection_id: Generated<number>;
  received_at: Date;
  point: string | null;
  at: string | null;
  path: string;
  reason: string;
}

/** Readings that a person is typing at a point, or has just saved. */
export interface TypedDraftTable {
  site_id: number;
  point_id: number;
  /** Account that types: its address, or the name of a token. */
  person: string;
  /** What others call the person. */
  name: string;
  /** As `TypedDraftSchema` in api/schemas has it. */
  draft: ColumnType<unknown, string, string>;
  started_at: Date;
  updated_at: Date;
  saved_at: Date | null;
}

export type SweepRow = Selectable<SweepTable>;
