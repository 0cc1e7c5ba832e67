import type { Modulation } from '../../ingest/plan/channelPlan.ts';
import type { PointKind } from '../../ingest/store/schema.ts';
import type { LimitedQuantity } from './limitSet.ts';

/**
 * One limit that a person sets differently from the set. Without a modulation it takes the place of every limit of the
 * set on that quantity; with one, of that modulation's only.
 */
export interface LimitChange {
  readonly quantity: LimitedQuantity;
  readonly modulation?: Modulation | undefined;
  /** Null or absent: no limit on that side. */
  readonly min?: number | null | undefined;
  readonly target?: number | null | undefined;
  readonly max?: number | null | undefined;
}

/**
 * A person's choice of a limit set. `pointId` set: for one point. Otherwise for all points of `kind`, at the site or in
 * the fleet, whichever list it stands in. None is ever deleted: the newest wins.
 */
export interface LimitChoice {
  readonly choiceId: number;
  readonly kind: PointKind | null;
  readonly pointId: number | null;
  readonly setId: string;
  readonly changes: readonly LimitChange[];
  readonly reason: string;
  readonly chosenBy: string;
  readonly chosenAtMs: number;
}

export interface LimitChoices {
  readonly fleet: readonly LimitChoice[];
  readonly site: readonly LimitChoice[];
}
