import { chanceShare, isNoChance, TOLD_CHANCE } from './chance.ts';
import type { FrozenTrouble, PointReadings } from './types.ts';

/** Fewer values repeat by themselves. */
const FEWEST_CHANNELS = 3;

/**
 * Whether the newest sweeps are the same numbers again and again, as noise makes impossible. How often a whole sweep repeats the one
 * before by chance is taken from the point's own sweeps, so that a meter of coarse steps needs a longer run than a fine one.
 */
export function judgeFrozen({ sweeps }: PointReadings): FrozenTrouble | null {
  const newest = sweeps[0];
  if (newest === undefined || newest.channels < FEWEST_CHANNELS) return null;
  const first = sweeps.findIndex(({ repeats }) => !repeats);
  const run = first < 0 ? sweeps.length - 1 : first;
  const before = sweeps.slice(run);
  const share = chanceShare(before.filter(({ repeats }) => repeats).length, before.length);
  if (!isNoChance(run, share, TOLD_CHANCE)) return null;
  return { kind: 'frozen', sinceMs: sweeps[run]!.atMs, orEarlier: first < 0, sweeps: run + 1 };
}
