import type { PlanVersion } from '../../ingest/plan/channelPlan.ts';
import type { BaselineRow } from '../../ingest/store/schema.ts';
import type { LimitSet } from '../limits/limitSet.ts';
import type { Frame } from '../trend/frame.ts';
import type { Reference } from '../trend/types.ts';

/** What a point's sweeps are held against, through all of its time. */
export interface PointContext {
  readonly limitSet: LimitSet;
  /** By effective date. */
  readonly baselines: readonly BaselineRow[];
  readonly planVersions: readonly PlanVersion[];
  /** Frames made so far, by grid, baseline and plan version. */
  readonly compared: Map<string, ComparedAt>;
}

/** What sweeps of one grid are held against at a moment; `reference` is null before the first baseline. */
export interface ComparedAt {
  readonly frame: Frame;
  readonly reference: Reference | null;
}
