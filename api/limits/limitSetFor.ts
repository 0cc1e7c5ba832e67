import type { PointKind } from '../../ingest/store/schema.ts';
import type { LimitChange, LimitChoice, LimitChoices } from './limitChoice.ts';
import type { Limit, LimitSet } from './limitSet.ts';
import { defaultLimitSet, findLimitSet } from './limitSets.ts';

/** The limits that a point is held to, and who decided so. */
export interface EffectiveLimitSet extends LimitSet {
  /** How far the choice reaches; `default` when nobody chose. */
  readonly scope: 'point' | 'site' | 'fleet' | 'default';
  readonly choice: LimitChoice | null;
}

/**
 * The set for a point: of the choices for the point itself the newest; else for its kind at the site; else for its
 * kind in the fleet; else the default of its kind. The choice's changes are applied on top, each with the reason
 * as its source.
 *
 * @throws RangeError when a choice names a set that doesn't exist
 */
export function limitSetFor(
  point: { readonly pointId: number; readonly kind: PointKind },
  choices: LimitChoices,
): EffectiveLimitSet {
  const forPoint = newest(choices.site.filter(({ pointId }) => pointId === point.pointId));
  if (forPoint) return applyChoice(forPoint, 'point');

  const ofKind = ({ pointId, kind }: LimitChoice): boolean => pointId === null && kind === point.kind;
  const forSite = newest(choices.site.filter(ofKind));
  if (forSite) return applyChoice(forSite, 'site');

  const forFleet = newest(choices.fleet.filter(ofKind));
  if (forFleet) return applyChoice(forFleet, 'fleet');

  return { ...defaultLimitSet(point.kind), scope: 'default', choice: null };
}

function newest(choices: readonly LimitChoice[]): LimitChoice | null {
  let best: LimitChoice | null = null;
  for (const choice of choices) {
    if (best === null || choice.chosenAtMs > best.chosenAtMs) best = choice;
    else if (choice.chosenAtMs === best.chosenAtMs && choice.choiceId > best.choiceId) best = choice;
  }
  return best;
}

function applyChoice(choice: LimitChoice, scope: 'point' | 'site' | 'fleet'): EffectiveLimitSet {
  const set = findLimitSet(choice.setId);
  if (set === null) throw new RangeError(`there is no limit set "${choice.setId}"`);
  const limits = choice.changes.reduce<readonly Limit[]>(
    (current, change) => applyChange(current, change, choice.reason),
    set.limits,
  );
  return { ...set, limits, scope, choice };
}

function applyChange(limits: readonly Limit[], change: LimitChange, reason: string): Limit[] {
  const replaced = limits.filter((limit) => isReplaced(limit, change));
  const kept = limits.filter((limit) => !isReplaced(limit, change));
  return [
    ...kept,
    {
      quantity: change.quantity,
      ...(change.modulation && { modulation: change.modulation }),
      ...(change.min != null && { min: change.min }),
      ...(change.target != null && { target: change.target }),
      ...(change.max != null && { max: change.max }),
      unit: change.quantity === 'level' ? 'dBmV' : 'dB',
      effect: replaced.some(({ effect }) => effect === 'service') ? 'service' : 'agreed',
      source: reason,
      sureness: 'own',
    },
  ];
}

function isReplaced(limit: Limit, change: LimitChange): boolean {
  if (limit.quantity !== change.quantity) return false;
  return change.modulation === undefined || limit.modulation === change.modulation;
}
