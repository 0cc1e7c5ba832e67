import type { PlanVersion } from '../../ingest/plan/channelPlan.ts';
import { planInForce } from '../../ingest/plan/planInForce.ts';
import { unchangedChannels } from '../../ingest/plan/unchangedChannels.ts';
import type { Db } from '../../ingest/store/database.ts';
import type { BaselineRow } from '../../ingest/store/schema.ts';
import type { Sweep } from '../../ingest/sweep.ts';
import { loadCalibrations, overdueSince } from '../instruments/calibrations.ts';
import { judgeRanges } from '../limits/judgeRanges.ts';
import { levelRanges } from '../limits/levelRanges.ts';
import { levelWindow } from '../limits/levelWindow.ts';
import type { LimitSet } from '../limits/limitSet.ts';
import { windowAt } from '../maintenance/window.ts';
import { markedWindow, windowsFor } from '../maintenance/windowsAt.ts';
import { type DayMedians, dayMedians } from '../retention/dayMedians.ts';
import type { BandView } from '../schemas/site.ts';
import { type BandCarrier, bandCarriers } from './bandCarriers.ts';
import { baselineInForce } from './baselineQueries.ts';
import { type ChannelStanding, channelStandings } from './channelStanding.ts';
import { loadPoint } from './loadPoint.ts';
import { type CarrierReading, readCarriers } from './readCarriers.ts';
import { sweepAt } from './sweepAt.ts';

/**
 * The newest sweep at or before a moment, or the medians of a day whose sweeps were let go, beside the baseline in force when it was made, in rising frequency.
 * A planned line-up change is no fault: channels that the plan defines otherwise since the baseline have no "then", and
 * those that left the plan keep their old name and are neither compared, judged nor lost. Carriers outside the plan
 * have channel null.
 *
 * @throws NotFound when there is no such point
 */
export async function bandView(db: Db, siteId: number, pointId: number, atMs: number): Promise<BandView> {
  const { planVersions, limitSet } = await loadPoint(db, siteId, pointId);
  const sweep = (await sweepAt(db, siteId, pointId, atMs)) ?? (await dayMedians(db, siteId, pointId, atMs));
  const nowMs = sweep?.atMs ?? atMs;
  const baseline = await baselineInForce(db, siteId, pointId, nowMs);
  const { breaches, ...band } = compareBand(sweep, baseline, { planVersions, limitSet, nowMs });
  const ranges = (await levelRanges(db, siteId, pointId, nowMs)).get(pointId);

  return {
    pointId,
    now: sweep === null ? null : await nowSummary(db, siteId, sweep),
    baseline: baseline === null ? null : baselineSummary(baseline),
    channels: band.channels,
    thenLine: band.thenLine,
    nowLine: band.nowLine,
    limitSet: { id: limitSet.id, name: limitSet.name, source: limitSet.source },
    breaches: [...breaches, ...(ranges === undefined ? [] : judgeRanges(limitSet, ranges))],
  };
}

export interface ComparedBand extends Pick<BandView, 'channels' | 'thenLine' | 'nowLine' | 'breaches'> {
  readonly flatnessDb: number | null;
  /** RF channels of the plan without a carrier here. */
  readonly notLookedFor: readonly string[];
}

/** Readings of a moment beside a baseline, channel by channel, with the limits on channels that they miss. */
export function compareBand(
  sweep: Sweep | null,
  baseline: BaselineRow | null,
  {
    planVersions,
    limitSet,
    nowMs,
  }: {
    readonly planVersions: readonly PlanVersion[];
    readonly limitSet: LimitSet;
    readonly nowMs: number;
  },
): ComparedBand {
  const plan = planInForce(planVersions, nowMs);
  const isSame = sameChannel(planVersions, baseline, nowMs);
  const carriers = bandCarriers(sweep, baseline, plan, isSame);
  const reading = readCarriers(carriers, plan, limitSet);
  const standings = channelStandings(
    carriers.map(({ freqMhz, thenLevelDbmv }, i) => ({
      freqMhz,
      planned: reading.carriers[i]!.planned,
      inBaseline: thenLevelDbmv !== null,
    })),
    planVersions,
    baseline?.to_at.getTime() ?? null,
    nowMs,
  );
  return {
    channels: carriers.map((carrier, i) =>
      channelView(carrier, reading.carriers[i]!, standings[i]!, limitSet),
    ),
    thenLine: baseline === null ? null : thenLine(baseline),
    nowLine: reading.line === null ? null : lineView(reading.line),
    breaches: [...reading.breaches],
    flatnessDb: reading.flatnessDb,
    notLookedFor: reading.notLookedFor,
  };
}

function sameChannel(
  versions: readonly PlanVersion[],
  baseline: BaselineRow | null,
  nowMs: number,
): (channel: string | null) => boolean {
  if (baseline === null || versions.length === 0) return () => true;
  const same = new Set(
    unchangedChannels(versions, baseline.to_at.getTime(), nowMs).map(({ channel }) => channel),
  );
  return (channel) => channel === null || same.has(channel);
}

function channelView(
  carrier: BandCarrier,
  reading: CarrierReading,
  { standing, planned, leftAtMs }: ChannelStanding,
  limitSet: LimitSet,
): BandView['channels'][number] {
  const left = standing === 'left-plan';
  const window = levelWindow(limitSet, reading.modulation);
  const { levelDbmv, thenLevelDbmv } = carrier;
  const comparable = !left && levelDbmv !== null && thenLevelDbmv !== null;
  return {
    freqMhz: carrier.freqMhz,
    standing,
    leftPlanAt: leftAtMs === null ? null : iso(leftAtMs),
    channel: planned?.channel ?? null,
    modulation: planned?.modulation ?? null,
    services: [...(planned?.services ?? [])],
    thenLevelDbmv,
    thenSpreadDb: carrier.thenSpreadDb,
    nowLevelDbmv: levelDbmv,
    deviationDb: comparable ? levelDbmv - thenLevelDbmv : null,
    thenMerDb: carrier.thenMerDb,
    nowMerDb: carrier.merDb,
    nowCnrDb: carrier.cnrDb,
    marginDb: left ? null : reading.marginDb,
    lost: !left && carrier.lost,
    levelMinDbmv: left ? null : window.min,
    levelMaxDbmv: left ? null : window.max,
  };
}

interface Line {
  readonly lowMhz: number;
  readonly highMhz: number;
  /** At mid band. */
  readonly levelDbmv: number;
  readonly tiltDb: number;
}

function thenLine({ freq_hz, level_dbmv, tilt_db }: BaselineRow): BandView['thenLine'] {
  const [low, high] = [freq_hz[0], freq_hz.at(-1)];
  if (low === undefined || high === undefined) return null;
  return lineView({ lowMhz: low / 1e6, highMhz: high / 1e6, levelDbmv: level_dbmv, tiltDb: tilt_db });
}

function lineView({ lowMhz, highMhz, levelDbmv, tiltDb }: Line): NonNullable<BandView['nowLine']> {
  return {
    lowMhz,
    highMhz,
    levelLowDbmv: levelDbmv - tiltDb / 2,
    levelHighDbmv: levelDbmv + tiltDb / 2,
    tiltDb,
  };
}

async function nowSummary(
  db: Db,
  siteId: number,
  sweep: Sweep | DayMedians,
): Promise<NonNullable<BandView['now']>> {
  const { atMs, instrument } = sweep;
  const window = windowAt(await windowsFor(db, siteId, atMs, atMs), atMs);
  const overdueMs = overdueSince(await loadCalibrations(db, siteId), instrument, atMs);
  return {
    at: iso(atMs),
    instrument,
    medianOf: 'medianOf' in sweep ? sweep.medianOf : null,
    maintenance: window && markedWindow(window),
    calibrationOverdueSince: overdueMs === null ? null : iso(overdueMs),
  };
}

function baselineSummary(row: BaselineRow): NonNullable<BandView['baseline']> {
  return {
    version: row.version,
    fromAt: row.from_at.toISOString(),
    toAt: row.to_at.toISOString(),
    sweeps: row.sweeps,
    acceptedBy: row.accepted_by,
    acceptedAt: row.accepted_at.toISOString(),
    exceptionNote: row.exception_note,
  };
}

function iso(ms: number): string {
  return new Date(ms).toISOString();
}
