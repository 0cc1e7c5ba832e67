import { describeSource } from '../limits/describeSource.ts';
import type { LimitChoice } from '../limits/limitChoice.ts';
import type { LimitSet } from '../limits/limitSet.ts';
import type { EffectiveLimitSet } from '../limits/limitSetFor.ts';
import type { LimitChoiceView, LimitSetView } from '../schemas/limits.ts';

/** A set as people see it, each limit with its source in words. */
export function limitSetView({ id, name, source, defaultFor, limits }: LimitSet): LimitSetView {
  return {
    id,
    name,
    source,
    defaultFor: [...defaultFor],
    limits: limits.map((limit) => ({
      quantity: limit.quantity,
      modulation: limit.modulation ?? null,
      min: limit.min ?? null,
      target: limit.target ?? null,
      max: limit.max ?? null,
      maxByTopMhz: limit.maxByTopMhz ? limit.maxByTopMhz.map((step) => ({ ...step })) : null,
      unit: limit.unit,
      effect: limit.effect,
      source: describeSource(limit),
    })),
  };
}

export function choiceView(choice: LimitChoice): LimitChoiceView {
  const { choiceId, kind, pointId, setId, changes, reason, chosenBy, chosenAtMs } = choice;
  const chosenAt = new Date(chosenAtMs).toISOString();
  return { choiceId, kind, pointId, setId, changes: [...changes], reason, chosenBy, chosenAt };
}

/** Why a point has its set, in one sentence. */
export function whyThisSet({ scope, choice }: EffectiveLimitSet, kind: string): string {
  if (choice === null) return `Nobody chose: points of kind ${kind} take this set.`;
  const reach = {
    point: 'for this point',
    site: `for points of kind ${kind} at this site`,
    fleet: `for points of kind ${kind} in the fleet`,
    default: '',
  }[scope];
  return `${choice.chosenBy} chose it ${reach}: ${choice.reason}`;
}
