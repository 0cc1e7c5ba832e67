import type { SheetStop } from '../../../api/schemas/visits.ts';

/** Causes less likely than this aren't packed for. */
const PACKED_FROM = 0.2;

/** Everything for the likely causes of the day, each thing once, with the sites that want it. */
export function bringAlong(stops: readonly SheetStop[]): { item: string; sites: string[] }[] {
  const wanted = new Map<string, Set<string>>();
  for (const { name, tasks } of stops) {
    const causes = tasks.flatMap(({ causes: [first, ...others] }) =>
      first ? [first, ...others.filter(({ confidence }) => confidence >= PACKED_FROM)] : [],
    );
    for (const item of causes.flatMap(({ bring }) => bring)) {
      wanted.set(item, (wanted.get(item) ?? new Set()).add(name));
    }
  }
  return [...wanted].map(([item, sites]) => ({ item, sites: [...sites] }));
}
