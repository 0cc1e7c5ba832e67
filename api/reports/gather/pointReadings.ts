import { planInForce } from '../../../ingest/plan/planInForce.ts';
import type { Db } from '../../../ingest/store/database.ts';
import { readSweeps } from '../../../ingest/store/readSweeps.ts';
import type { BaselineRow } from '../../../ingest/store/schema.ts';
import type { Sweep } from '../../../ingest/sweep.ts';
import { type ComparedBand, compareBand } from '../../baseline/bandView.ts';
import type { PointContext } from '../../baseline/loadPoint.ts';
import { sweepAt } from '../../baseline/sweepAt.ts';
import type { CarrierMedians } from '../../baseline/windowMedians.ts';
import type { LimitSet } from '../../limits/limitSet.ts';
import { qualityFloor } from '../../limits/qualityFloor.ts';
import type { ChannelReading, PointReadings } from '../reportData.ts';
import type { Period } from '../reportKind.ts';
import { medianSweep } from './medianSweep.ts';

/** "Now" is the medians of the sweeps of this long before the last one: a single sweep may be a wild one. */
export const NOW_HOURS = 6;
const HOUR_MS = 3_600_000;

/**
 * Then and now at a point: the baseline beside the medians of the last hours of the period.
 *
 * @param changedMs when something last changed here within the period, so that "now" lies after it; null for never
 */
export async function pointReadings(
  db: Db,
  { site, point, limitSet, planVersions }: PointContext,
  baseline: BaselineRow | null,
  period: Period,
  changedMs: number | null,
): Promise<PointReadings> {
  const sweeps = await sweepsOfNow(db, site.site_id, point.point_id, period, changedMs);
  const medians = medianSweep(sweeps);
  const nowMs = medians?.sweep.atMs ?? period.toMs;
  const band = compareBand(medians?.sweep ?? null, baseline, { planVersions, limitSet, nowMs });
  const plan = planInForce(planVersions, nowMs);
  return {
    pointId: point.point_id,
    now: medians && nowView(sweeps, band),
    thenLine: band.thenLine,
    nowLine: band.nowLine,
    channels: channelReadings(band, medians?.carriers ?? [], limitSet),
    breaches: medians === null ? [] : band.breaches,
    notLookedFor: medians === null || plan === null ? [] : band.notLookedFor,
  };
}

async function sweepsOfNow(
  db: Db,
  siteId: number,
  pointId: number,
  { fromMs, toMs }: Period,
  changedMs: number | null,
): Promise<Sweep[]> {
  const last = await sweepAt(db, siteId, pointId, toMs);
  if (last === null || last.atMs < fromMs) return [];
  const sinceMs = Math.max(fromMs, last.atMs - NOW_HOURS * HOUR_MS);
  const sweeps = await readSweeps(db, siteId, pointId, sinceMs, last.atMs + 1);
  const after = sweeps.filter(({ atMs }) => changedMs !== null && atMs >= changedMs);
  return after.length > 0 ? after : sweeps;
}

function nowView(sweeps: readonly Sweep[], { nowLine, flatnessDb }: ComparedBand): PointReadings['now'] {
  const iso = (sweep: Sweep) => new Date(sweep.atMs).toISOString();
  return {
    from: iso(sweeps[0]!),
    to: iso(sweeps.at(-1)!),
    sweeps: sweeps.length,
    instruments: [...new Set(sweeps.map(({ instrument }) => instrument))].sort(),
    levelDbmv: nowLine && (nowLine.levelLowDbmv + nowLine.levelHighDbmv) / 2,
    tiltDb: nowLine?.tiltDb ?? null,
    flatnessDb,
  };
}

function channelReadings(
  band: ComparedBand,
  carriers: readonly CarrierMedians[],
  limitSet: LimitSet,
): ChannelReading[] {
  const medians = new Map(carriers.map((carrier) => [carrier.freqMhz, carrier]));
  return band.channels.map((channel) => {
    const { modulation, levelMinDbmv, levelMaxDbmv } = channel;
    const left = channel.standing === 'left-plan';
    return {
      freqMhz: channel.freqMhz,
      channel: channel.channel,
      modulation,
      standing: channel.standing,
      lost: channel.lost,
      thenLevelDbmv: channel.thenLevelDbmv,
      thenSpreadDb: channel.thenSpreadDb,
      nowLevelDbmv: channel.nowLevelDbmv,
      nowSpreadDb: medians.get(channel.freqMhz)?.levelSpreadDb ?? null,
      deviationDb: channel.deviationDb,
      levelMinDbmv,
      levelMaxDbmv,
      levelMarginDb: marginDb(channel.nowLevelDbmv, levelMinDbmv, levelMaxDbmv),
      thenMerDb: channel.thenMerDb,
      nowMerDb: modulation === 'analogue' ? channel.nowCnrDb : channel.nowMerDb,
      merLimitDb: left ? null : (qualityFloor(limitSet, modulation)?.min ?? null),
      merMarginDb: channel.marginDb,
    };
  });
}

/** How far inside its window a value lies, dB; null without a value or a window. */
export function marginDb(value: number | null, min: number | null, max: number | null): number | null {
  if (value === null || (min === null && max === null)) return null;
  return Math.min(min === null ? Infinity : value - min, max === null ? Infinity : max - value);
}
