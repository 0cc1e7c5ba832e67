import { planInForce } from '../../../ingest/plan/planInForce.ts';
import type { Db } from '../../../ingest/store/database.ts';
import { readSweeps } from '../../../ingest/store/readSweeps.ts';
import type { BaselineRow } from '../../../ingest/store/schema.ts';
import { type ComparedBand, compareBand } from '../../baseline/bandView.ts';
import type { PointContext } from '../../baseline/loadPoint.ts';
import { sweepAt } from '../../baseline/sweepAt.ts';
import type { CarrierMedians } from '../../baseline/windowMedians.ts';
import type { LimitSet } from '../../limits/limitSet.ts';
import { qualityFloor } from '../../limits/qualityFloor.ts';
import { dayMedians } from '../../retention/dayMedians.ts';
import type { ChannelReading, PointReadings } from '../reportData.ts';
import type { Period } from '../reportKind.ts';
import { type MedianSweep, medianSweep } from './medianSweep.ts';

/** "Now" is the medians of the sweeps of this long before the last one: a single sweep may be a wild one. */
export const NOW_HOURS = 6;
const HOUR_MS = 3_600_000;
const DAY_MS = 24 * HOUR_MS;

/**
 * Then and now at a point: the baseline beside the medians of the last hours of the period, or of its last day of which
 * only medians are kept.
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
  const now =
    (await newestHours(db, site.site_id, point.point_id, period, changedMs)) ??
    (await keptDay(db, site.site_id, point.point_id, period));
  const nowMs = now?.toMs ?? period.toMs;
  const band = compareBand(now?.sweep ?? null, baseline, { planVersions, limitSet, nowMs });
  const hasPlan = planInForce(planVersions, nowMs) !== null;
  return {
    pointId: point.point_id,
    now: now && nowView(now, band),
    thenLine: band.thenLine,
    nowLine: band.nowLine,
    channels: channelReadings(band, now?.carriers ?? [], limitSet, thenCnr(baseline)),
    breaches: now === null ? [] : band.breaches,
    notLookedFor: now === null || !hasPlan ? [] : band.notLookedFor,
  };
}

/** What is held against the baseline, and what it was made of. */
interface Now extends MedianSweep {
  readonly fromMs: number;
  readonly toMs: number;
  readonly sweeps: number;
  readonly instruments: readonly string[];
}

async function newestHours(
  db: Db,
  siteId: number,
  pointId: number,
  { fromMs, toMs }: Period,
  changedMs: number | null,
): Promise<Now | null> {
  const last = await sweepAt(db, siteId, pointId, toMs);
  if (last === null || last.atMs < fromMs) return null;
  const sinceMs = Math.max(fromMs, last.atMs - NOW_HOURS * HOUR_MS);
  const all = await readSweeps(db, siteId, pointId, sinceMs, last.atMs + 1);
  const after = all.filter(({ atMs }) => changedMs !== null && atMs >= changedMs);
  const sweeps = after.length > 0 ? after : all;
  return {
    ...medianSweep(sweeps),
    fromMs: sweeps[0]!.atMs,
    toMs: last.atMs,
    sweeps: sweeps.length,
    instruments: [...new Set(sweeps.map(({ instrument }) => instrument))].sort(),
  };
}

async function keptDay(
  db: Db,
  siteId: number,
  pointId: number,
  { fromMs, toMs }: Period,
): Promise<Now | null> {
  const day = await dayMedians(db, siteId, pointId, toMs);
  if (day === null || day.atMs < fromMs) return null;
  const instruments = day.instrument.split(', ');
  return {
    sweep: day,
    carriers: [],
    fromMs: day.atMs,
    toMs: day.atMs + DAY_MS - 1,
    sweeps: day.medianOf,
    instruments,
  };
}

function nowView(now: Now, { nowLine, flatnessDb }: ComparedBand): PointReadings['now'] {
  return {
    from: new Date(now.fromMs).toISOString(),
    to: new Date(now.toMs).toISOString(),
    sweeps: now.sweeps,
    instruments: now.instruments,
    levelDbmv: nowLine && (nowLine.levelLowDbmv + nowLine.levelHighDbmv) / 2,
    tiltDb: nowLine?.tiltDb ?? null,
    flatnessDb,
  };
}

function channelReadings(
  band: ComparedBand,
  carriers: readonly CarrierMedians[],
  limitSet: LimitSet,
  thenCnrDb: (freqMhz: number) => number | null,
): ChannelReading[] {
  const medians = new Map(carriers.map((carrier) => [carrier.freqMhz, carrier]));
  return band.channels.map((channel) => {
    const { modulation, levelMinDbmv, levelMaxDbmv } = channel;
    const left = channel.standing === 'left-plan';
    const isAnalogue = modulation === 'analogue';
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
      thenMerDb: isAnalogue ? thenCnrDb(channel.freqMhz) : channel.thenMerDb,
      nowMerDb: isAnalogue ? channel.nowCnrDb : channel.nowMerDb,
      merLimitDb: left ? null : (qualityFloor(limitSet, modulation)?.min ?? null),
      merMarginDb: channel.marginDb,
    };
  });
}

/** CNR at the baseline by frequency, dB; null where it was not measured. */
function thenCnr(baseline: BaselineRow | null): (freqMhz: number) => number | null {
  const byHz = new Map(baseline?.freq_hz.map((hz, i) => [hz, baseline.cnr_cdb?.[i] ?? null]));
  return (freqMhz) => {
    const hundredths = byHz.get(Math.round(freqMhz * 1e6)) ?? null;
    return hundredths === null ? null : hundredths / 100;
  };
}

/** How far inside its window a value lies, dB; null without a value or a window. */
export function marginDb(value: number | null, min: number | null, max: number | null): number | null {
  if (value === null || (min === null && max === null)) return null;
  return Math.min(min === null ? Infinity : value - min, max === null ? Infinity : max - value);
}
