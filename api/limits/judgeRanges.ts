import type { BreachView } from '../schemas/common.ts';
import { breachOf } from './breachOf.ts';
import type { LevelRanges } from './levelRanges.ts';
import type { LimitSet } from './limitSet.ts';

const QUANTITIES = [
  ['stability-1h', 'hourDb'],
  ['stability-24h', 'dayDb'],
  ['variation-6-months', 'halfYearDb'],
] as const;

/** The limits on steadiness that a point's level misses, each with its source. */
export function judgeRanges(limitSet: Pick<LimitSet, 'limits'>, ranges: LevelRanges): BreachView[] {
  return QUANTITIES.flatMap(([quantity, span]) => {
    const limit = limitSet.limits.find((each) => each.quantity === quantity);
    const range = ranges[span];
    const breach = limit === undefined || range === null ? null : breachOf(limit, range, null);
    return breach === null ? [] : [breach];
  });
}
