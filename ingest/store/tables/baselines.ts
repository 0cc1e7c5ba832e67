import type { Generated, Insertable, Selectable } from 'kysely';
import type { JsonWithDefault } from './column.ts';
import type { PointKind } from './sites.ts';

export interface BaselineTable {
  site_id: number;
  point_id: number;
  version: number;
  /** Sweeps from here on are judged against this version. */
  effective_from: Date;
  from_at: Date;
  to_at: Date;
  sweeps: number;
  instruments: string[];
  freq_hz: number[];
  level_cdbmv: (number | null)[];
  level_spread_cdb: (number | null)[];
  mer_cdb: (number | null)[] | null;
  mer_spread_cdb: (number | null)[] | null;
  cnr_cdb: (number | null)[] | null;
  level_dbmv: number;
  tilt_db: number;
  flatness_db: number;
  worst_mer_margin_db: number | null;
  ambient_c: number | null;
  outside: JsonWithDefault<unknown[]>;
  exception_note: string | null;
  accepted_by: string;
  accepted_at: Date;
}

export interface FleetLimitChoiceTable {
  choice_id: Generated<number>;
  kind: PointKind;
  set_id: string;
  changes: JsonWithDefault<unknown[]>;
  reason: string;
  chosen_by: string;
  chosen_at: Generated<Date>;
}

/** For every point of a kind at the site, or for one point; the newest choice wins and none is deleted. */
export interface SiteLimitChoiceTable {
  site_id: number;
  choice_id: Generated<number>;
  kind: PointKind | null;
  point_id: number | null;
  set_id: string;
  changes: JsonWithDefault<unknown[]>;
  reason: string;
  chosen_by: string;
  chosen_at: Generated<Date>;
}

export type BaselineRow = Selectable<BaselineTable>;
export type NewBaseline = Insertable<BaselineTable>;
