import type { BreachView } from '../../../api/schemas/common.ts';

/** Breaches of one and the same limit, told once. */
export interface BreachGroup {
  readonly first: BreachView;
  readonly channels: readonly string[];
  readonly lowest: number;
  readonly highest: number;
}

/** One group for each quantity and limit, in the order in which they come. */
export function groupBreaches(breaches: readonly BreachView[]): BreachGroup[] {
  const groups = Map.groupBy(breaches, ({ quantity, limit, source }) => [quantity, limit, source].join('\n'));
  return [...groups.values()].map((group) => ({
    first: group[0]!,
    channels: group.flatMap(({ channel }) => (channel === null ? [] : [channel])),
    lowest: Math.min(...group.map(({ value }) => value)),
    highest: Math.max(...group.map(({ value }) => value)),
  }));
}
