import type { Modulation } from '../../ingest/plan/channelPlan.ts';
import type { Limit, LimitedQuantity, LimitSet } from './limitSet.ts';

/**
 * The limit of a set on a quantity: the one for this modulation, otherwise the one for all.
 *
 * @param modulation null for a carrier outside the plan, or for the sweep as a whole
 */
export function limitFor(
  limitSet: Pick<LimitSet, 'limits'>,
  quantity: LimitedQuantity,
  modulation: Modulation | null,
): Limit | null {
  let general: Limit | null = null;
  for (const limit of limitSet.limits) {
    if (limit.quantity !== quantity) continue;
    if (limit.modulation === undefined) general = limit;
    else if (limit.modulation === modulation) return limit;
  }
  return general;
}
