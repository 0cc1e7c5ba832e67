import type { Generated, Insertable, Selectable } from 'kysely';
import type { Modulation, Service } from '../../plan/channelPlan.ts';
import type { Json, JsonWithDefault, WithDefault } from './column.ts';

export const RASTERS = ['STD', 'HRC', 'IRC', '8 MHz', 'own'] as const;
export type RasterName = (typeof RASTERS)[number];

export const POINT_KINDS = [
  'handoff',
  'gear-input',
  'gear-output',
  'amplifier',
  'splitter',
  'outlet',
] as const;
export type PointKind = (typeof POINT_KINDS)[number];

export interface ProviderTable {
  provider_id: Generated<number>;
  name: string;
  contact: WithDefault<string>;
  created_at: Generated<Date>;
}

export interface ChannelPlanTable {
  plan_id: Generated<number>;
  name: string;
  raster: RasterName;
  created_at: Generated<Date>;
}

export interface ChannelPlanVersionTable {
  plan_id: number;
  version: number;
  effective_from: Date;
  note: WithDefault<string>;
  created_by: string;
  created_at: Generated<Date>;
}

export interface PlannedChannelTable {
  plan_id: number;
  version: number;
  channel: string;
  centre_mhz: number;
  width_mhz: number;
  modulation: Modulation;
  services: JsonWithDefault<Service[]>;
}

export interface SiteTable {
  site_id: Generated<number>;
  name: string;
  town: WithDefault<string>;
  address: WithDefault<string>;
  /** IANA zone, such as "America/Chicago". */
  time_zone: string;
  latitude: number | null;
  longitude: number | null;
  outlets: number;
  provider_id: number | null;
  plan_id: number | null;
  contact: WithDefault<string>;
  access_notes: WithDefault<string>;
  created_at: Generated<Date>;
}

/** How the readings of a point come, as it was decided while the site was set up. */
export interface ReadingWayTable {
  site_id: number;
  point_id: number;
  way: Json<unknown>;
  chosen_by: string;
  chosen_at: Date;
}

export interface PointTable {
  site_id: number;
  point_id: Generated<number>;
  /** The contract's "point". */
  name: string;
  label: WithDefault<string>;
  kind: PointKind;
  fed_by: number | null;
  /** Outlets that hang on this point and on no point below it. */
  outlets: WithDefault<number>;
  /** Seconds between sweeps when all is well. */
  interval_s: WithDefault<number>;
  /** Gear here holds its own output level and tilt while the input stays in its window. */
  corrects_itself: WithDefault<boolean>;
  correction_window_db: number | null;
  /** What lies between this point and the one that feeds it. */
  hop_note: WithDefault<string>;
  created_at: Generated<Date>;
}

export interface SiteKeyTable {
  site_id: number;
  key_id: Generated<number>;
  secret_sha256: Buffer;
  label: string;
  created_by: string;
  created_at: Generated<Date>;
  last_used_at: Date | null;
  revoked_at: Date | null;
}

export type Site = Selectable<SiteTable>;
export type NewSite = Insertable<SiteTable>;
export type Point = Selectable<PointTable>;
export type NewPoint = Insertable<PointTable>;
