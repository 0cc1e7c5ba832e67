import { median } from '../../ingest/signal/median.ts';
import { chanceShare, isNoChance, TOLD_CHANCE } from './chance.ts';
import type { Arrived, PartialTrouble, PointReadings } from './types.ts';

/** A line-up change takes some channels, a fault of the instrument takes many. */
const PARTIAL_SHARE = 0.5;
/** Without a baseline, what is usual is known from so many sweeps. */
const FEWEST_SWEEPS = 20;

/**
 * Whether the newest sweeps lack half of the channels that their instrument usually carries here: those of the baseline that it made,
 * or of its own earlier sweeps. A channel that it looked for and didn't find counts as carried: that is the plant's.
 */
export function judgePartial({ sweeps, baseline }: PointReadings): PartialTrouble | null {
  const newest = sweeps[0];
  if (newest === undefined) return null;
  const alike = sweeps.filter(({ instrument }) => instrument === newest.instrument);
  const usual = baseline?.instruments.includes(newest.instrument) ? baseline.channels : usualChannels(alike);
  if (usual === null) return null;

  const isPartial = ({ channels }: Arrived) => channels <= PARTIAL_SHARE * usual;
  const first = alike.findIndex((sweep) => !isPartial(sweep));
  const run = first < 0 ? alike.length : first;
  const before = alike.slice(run);
  if (!isNoChance(run, chanceShare(before.filter(isPartial).length, before.length), TOLD_CHANCE)) return null;
  return {
    kind: 'partial',
    sinceMs: alike[run - 1]!.atMs,
    orEarlier: first < 0,
    channels: newest.channels,
    usual,
  };
}

/** By the older half, so that a run of short ones is not the usual at once. */
function usualChannels(sweeps: readonly Arrived[]): number | null {
  if (sweeps.length < FEWEST_SWEEPS) return null;
  return median(sweeps.slice(Math.floor(sweeps.length / 2)).map(({ channels }) => channels));
}
