import type { Modulation } from '../../ingest/plan/channelPlan.ts';
import type { PointKind } from '../../ingest/store/schema.ts';

/**
 * How sure a figure is. `read`: the document was open. `quoted`: read where another text quotes it.
 * `after`: from memory, shown as "after" its standard and to be confirmed against the current text.
 * `practice`: common practice, no source. `own`: set by a person here, with a reason.
 */
export type Sureness = 'read' | 'quoted' | 'after' | 'practice' | 'own';

export const LIMITED_QUANTITIES = [
  'level',
  'mer',
  'cnr',
  'adjacent',
  'spread',
  'tilt',
  'flatness',
  'stability-1h',
  'stability-24h',
  'variation-6-months',
] as const;
/** What a limit speaks of. Per-channel: level, mer, cnr, adjacent. Of the whole sweep: the others. */
export type LimitedQuantity = (typeof LIMITED_QUANTITIES)[number];

/** One limit: `min` and `max` are inclusive; absent means unlimited on that side. */
export interface Limit {
  readonly quantity: LimitedQuantity;
  /** Only channels of this modulation; absent means all. The limit that names a modulation wins over the one for all. */
  readonly modulation?: Modulation;
  readonly min?: number;
  readonly target?: number;
  readonly max?: number;
  /** A maximum that depends on the highest channel: the first entry whose `upToMhz` isn't below it. In place of `max`. */
  readonly maxByTopMhz?: readonly { readonly upToMhz: number; readonly max: number }[];
  readonly unit: 'dBmV' | 'dB';
  /** `service`: beyond it a viewer is likely to notice. `agreed`: what the parties hold each other to. */
  readonly effect: 'service' | 'agreed';
  readonly source: string;
  readonly sureness: Sureness;
}

/** Named limits for a kind of point. */
export interface LimitSet {
  readonly id: string;
  readonly name: string;
  /** Kinds of point that take this set unless a person chose another. */
  readonly defaultFor: readonly PointKind[];
  readonly source: string;
  readonly limits: readonly Limit[];
}
