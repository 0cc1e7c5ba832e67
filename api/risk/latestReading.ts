import type { PlanVersion } from '../../ingest/plan/channelPlan.ts';
import { matchChannels } from '../../ingest/plan/matchChannels.ts';
import type { Sweep } from '../../ingest/sweep.ts';
import { carriersOf, readCarriers } from '../baseline/readCarriers.ts';
import type { PointView } from '../schemas/site.ts';
import type { LoadedPoint } from './loadSite.ts';

/**
 * The newest reading of a point and the limits that it misses. Level, tilt and what is compared with the baseline
 * are the engine's once it has taken in the sweep; until then they are read off the sweep alone, with no deviation.
 */
export function latestReading(point: LoadedPoint, plan: PlanVersion | null): PointView['latest'] {
  const newest = point.sweeps[0];
  if (newest === undefined) return null;

  const reading = readCarriers(carriersOf(newest), plan, point.limitSet);
  const common = {
    at: new Date(newest.atMs).toISOString(),
    instrument: newest.instrument,
    ambientC: newest.ambientC,
    breaches: [...reading.breaches],
  };
  const { latest } = point;
  if (latest !== null && Date.parse(latest.at) === newest.atMs) {
    const { levelDbmv, tiltDb, flatnessDb, worstMerMarginDb, worstMerChannel, levelDevDb, tiltDevDb } =
      latest;
    return {
      ...common,
      levelDbmv,
      tiltDb,
      flatnessDb,
      worstMerMarginDb,
      worstMerChannel,
      levelDevDb,
      tiltDevDb,
      channels: latest.channels,
      lostChannels: [...latest.lostChannels],
    };
  }
  const lostChannels = lostByName(newest, plan);
  return {
    ...common,
    levelDbmv: reading.line?.levelDbmv ?? null,
    tiltDb: reading.line?.tiltDb ?? null,
    flatnessDb: reading.flatnessDb,
    worstMerMarginDb: reading.worst?.marginDb ?? null,
    worstMerChannel: reading.worst?.channel ?? null,
    levelDevDb: null,
    tiltDevDb: null,
    channels: reading.carriers.filter(({ levelDbmv }) => levelDbmv !== null).length + lostChannels.length,
    lostChannels,
  };
}

/** RF channels that a sweep looked for and did not find; without a plan they go by their frequency. */
export function lostByName(sweep: Sweep, plan: PlanVersion | null): string[] {
  const matched = plan === null ? [] : matchChannels(sweep.lostMhz, plan).channels;
  return sweep.lostMhz.map((freqMhz, i) => matched[i]?.channel ?? `${freqMhz} MHz`);
}
