import type { PlanVersion } from '../../ingest/plan/channelPlan.ts';
import { carriersOf, readCarriers } from '../baseline/readCarriers.ts';
import { type Calibrations, overdueSince } from '../instruments/calibrations.ts';
import { judgeRanges } from '../limits/judgeRanges.ts';
import type { LevelRanges } from '../limits/levelRanges.ts';
import type { PointView } from '../schemas/site.ts';
import type { LoadedPoint } from './loadSite.ts';

/** The newest reading that the engine has taken in at a point, and the limits that it misses. */
export function latestReading(
  point: LoadedPoint,
  plan: PlanVersion | null,
  ranges: LevelRanges | undefined,
  calibrations: Calibrations,
): PointView['latest'] {
  const { latest, sweeps, limitSet } = point;
  if (latest === null) return null;

  const overdueMs = overdueSince(calibrations, latest.instrument, Date.parse(latest.at));
  const sweep = sweeps.find(({ atMs }) => atMs === Date.parse(latest.at));
  const breaches = [
    ...(sweep === undefined ? [] : readCarriers(carriersOf(sweep), plan, limitSet).breaches),
    ...(ranges === undefined ? [] : judgeRanges(limitSet, ranges)),
  ];
  return {
    at: latest.at,
    instrument: latest.instrument,
    levelDbmv: latest.levelDbmv,
    tiltDb: latest.tiltDb,
    flatnessDb: latest.flatnessDb,
    worstMerMarginDb: latest.worstMerMarginDb,
    worstMerChannel: latest.worstMerChannel,
    levelDevDb: latest.levelDevDb,
    tiltDevDb: latest.tiltDevDb,
    merDevDb: latest.merDevDb ?? null,
    ambientC: latest.ambientC,
    channels: latest.channels,
    lostChannels: [...latest.lostChannels],
    inMaintenance: latest.inMaintenance ?? false,
    calibrationOverdueSince: overdueMs === null ? null : new Date(overdueMs).toISOString(),
    breaches,
  };
}
