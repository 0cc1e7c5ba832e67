import { SAME_EVENT_MS } from '../../diagnosis/causes/sitesAlike.ts';
import type { SharedCondition } from '../sharedConditions.ts';
import { CHANCE_AT_MOST, chanceOfSoMany } from './chance.ts';

const DAY_MS = 86_400_000;

/** A condition of a site among those of the provider's other sites. */
export interface Member extends SharedCondition {
  readonly siteId: number;
}

/** The same change at so many sites that it is one event, and how likely so many would be by chance. */
export interface Cluster {
  readonly members: readonly Member[];
  readonly chance: number;
}

/**
 * Finds the largest gathering of sites that show one likeness and began within {@link SAME_EVENT_MS} of one of them, beyond the doubt of
 * both onsets. Null when none is so large that {@link CHANCE_AT_MOST} rules chance out.
 *
 * @param members of one likeness
 * @param sites of the provider in all
 * @param rate changes of the likeness that a site shows by itself, a day
 */
export function largestCluster(members: readonly Member[], sites: number, rate: number): Cluster | null {
  let largest: readonly Member[] = [];
  for (const centre of members) {
    const near = onePerSite(members.filter((member) => isNear(member, centre)));
    if (near.length > largest.length) largest = near;
  }
  if (largest.length < 2) return null;
  const doubtMs = Math.max(...largest.map(({ onsetLowMs, onsetHighMs }) => onsetHighMs - onsetLowMs));
  const chance = chanceOfSoMany(largest.length, sites, rate, (2 * SAME_EVENT_MS + 2 * doubtMs) / DAY_MS);
  return chance <= CHANCE_AT_MOST ? { members: largest, chance } : null;
}

export function isNear(
  a: Pick<Member, 'onsetLowMs' | 'onsetHighMs'>,
  b: Pick<Member, 'onsetLowMs' | 'onsetHighMs'>,
): boolean {
  return a.onsetLowMs <= b.onsetHighMs + SAME_EVENT_MS && a.onsetHighMs >= b.onsetLowMs - SAME_EVENT_MS;
}

/** One of them for each site. */
export function onePerSite(members: readonly Member[]): Member[] {
  return [...new Map(members.map((member) => [member.siteId, member])).values()];
}
