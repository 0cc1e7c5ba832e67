import type { Modulation } from '../../ingest/plan/channelPlan.ts';
import { limitFor } from './limitFor.ts';
import type { LimitSet } from './limitSet.ts';

/** Null on a side without a limit. */
export interface LevelWindow {
  readonly min: number | null;
  readonly target: number | null;
  readonly max: number | null;
}

/** Where a channel's level belongs, dBmV. */
export function levelWindow(limitSet: Pick<LimitSet, 'limits'>, modulation: Modulation | null): LevelWindow {
  const limit = limitFor(limitSet, 'level', modulation);
  return { min: limit?.min ?? null, target: limit?.target ?? null, max: limit?.max ?? null };
}
