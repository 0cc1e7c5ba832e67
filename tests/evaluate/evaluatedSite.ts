import type { PlannedChannel } from '../../ingest/plan/channelPlan.ts';
import type { PointKind } from '../../ingest/store/schema.ts';

/** What a point's set-up tells the engine. */
export interface EvaluatedPoint {
  readonly name: string;
  /** Null at the handoff. */
  readonly fedBy: string | null;
  readonly kind: PointKind;
  readonly correctsItself: boolean;
  readonly correctionWindowDb: number | null;
}

/** What the engine may know of a site; nothing here tells of faults or of the simulator. */
export interface EvaluatedSite {
  readonly name: string;
  /** Each after the point that feeds it. */
  readonly points: readonly EvaluatedPoint[];
  /** In rising frequency. */
  readonly channels: readonly PlannedChannel[];
  readonly intervalMs: number;
  readonly startMs: number;
  /** The baseline of each point is made of its sweeps from `startMs` until here. */
  readonly baselineUntilMs: number;
  readonly limits: SiteLimits;
}

/** Each channel's level may lie this far below and above its baseline; MER of 256-QAM must reach the floor. */
export interface SiteLimits {
  readonly levelBelowDb: number;
  readonly levelAboveDb: number;
  readonly merFloorDb: number;
}
