import type { Modulation } from '../../ingest/plan/channelPlan.ts';
import { adjacentDifferenceDb } from '../../ingest/signal/adjacentDifferenceDb.ts';
import type { BreachView } from '../schemas/common.ts';
import { breachOf } from './breachOf.ts';
import { limitFor } from './limitFor.ts';
import type { Limit, LimitSet } from './limitSet.ts';
import { qualityFloor } from './qualityFloor.ts';

/** What was read on one channel; null is "not measured", or outside the plan for `channel` and `modulation`. */
export interface ReadingChannel {
  readonly channel: string | null;
  readonly freqMhz: number;
  readonly modulation: Modulation | null;
  readonly levelDbmv: number | null;
  readonly merDb: number | null;
  readonly cnrDb: number | null;
}

/** A sweep as limits see it: channels in rising frequency, and the line through them. */
export interface Reading {
  readonly channels: readonly ReadingChannel[];
  readonly tiltDb: number | null;
  readonly flatnessDb: number | null;
}

type Place = Pick<ReadingChannel, 'channel' | 'freqMhz'>;

/**
 * Every limit that a reading misses. MER and CNR are held to the set's own figure or, where it has none, to what receivers
 * need. Adjacent difference and spread are taken among channels of one modulation: analogue carriers are quoted as peak
 * envelope and digital ones as average power, and stand apart by plan. Stability and six-month variation speak of
 * history: see `judgeRanges`.
 */
export function judge(limitSet: Pick<LimitSet, 'limits'>, reading: Reading): BreachView[] {
  const breaches: BreachView[] = [];
  const check = (limit: Limit | null, value: number | null, place: Place | null): void => {
    const breach = limit === null || value === null ? null : breachOf(limit, value, place);
    if (breach !== null) breaches.push(breach);
  };

  for (const channel of reading.channels) {
    check(limitFor(limitSet, 'level', channel.modulation), channel.levelDbmv, channel);
    const floor = qualityFloor(limitSet, channel.modulation);
    if (floor !== null) check(floor, floor.quantity === 'cnr' ? channel.cnrDb : channel.merDb, channel);
  }
  const topMhz = reading.channels.at(-1)?.freqMhz ?? 0;
  for (const [modulation, channels] of byModulation(reading.channels)) {
    checkAdjacent(limitFor(limitSet, 'adjacent', modulation), channels, check);
    checkSpread(limitFor(limitSet, 'spread', modulation), channels, topMhz, check);
  }
  check(limitFor(limitSet, 'tilt', null), reading.tiltDb, null);
  check(limitFor(limitSet, 'flatness', null), reading.flatnessDb, null);
  return breaches;
}

type Check = (limit: Limit | null, value: number | null, place: Place | null) => void;
type Levelled = ReadingChannel & { readonly levelDbmv: number };

function byModulation(channels: readonly ReadingChannel[]): Map<Modulation, Levelled[]> {
  const groups = new Map<Modulation, Levelled[]>();
  for (const channel of channels) {
    const { modulation, levelDbmv } = channel;
    if (modulation === null || levelDbmv === null) continue;
    const group = groups.get(modulation) ?? [];
    group.push({ ...channel, levelDbmv });
    groups.set(modulation, group);
  }
  return groups;
}

function checkAdjacent(limit: Limit | null, channels: readonly Levelled[], check: Check): void {
  if (limit === null) return;
  const differenceDb = adjacentDifferenceDb(
    channels.map(({ freqMhz }) => freqMhz),
    channels.map(({ levelDbmv }) => levelDbmv),
  );
  differenceDb.forEach((difference, i) => {
    check(limit, difference === null ? null : Math.abs(difference), channels[i]!);
  });
}

function checkSpread(limit: Limit | null, channels: readonly Levelled[], topMhz: number, check: Check): void {
  if (limit === null) return;
  const levels = channels.map(({ levelDbmv }) => levelDbmv);
  check(atTopFrequency(limit, topMhz), Math.max(...levels) - Math.min(...levels), null);
}

function atTopFrequency(limit: Limit, topMhz: number): Limit {
  const { maxByTopMhz, ...rest } = limit;
  if (maxByTopMhz === undefined) return limit;
  const step = maxByTopMhz.find(({ upToMhz }) => topMhz <= upToMhz) ?? maxByTopMhz.at(-1);
  return step === undefined ? rest : { ...rest, max: step.max };
}
