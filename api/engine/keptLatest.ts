import type { KeptLatest } from '../risk/loadSite.ts';
import type { LatestReading } from './siteRun.ts';

/** The newest reading of a point as pages show it. */
export function keptLatest({ observation, inMaintenance }: LatestReading): KeptLatest {
  const { features } = observation;
  return {
    at: new Date(observation.atMs).toISOString(),
    instrument: observation.instrument,
    ambientC: observation.ambientC,
    levelDbmv: observation.levelDbmv,
    tiltDb: observation.tiltDb,
    flatnessDb: observation.flatnessDb,
    worstMerMarginDb: observation.merMarginDb,
    worstMerChannel: observation.merMarginChannel,
    levelDevDb: features?.level ?? null,
    tiltDevDb: features?.tilt ?? null,
    merDevDb: features?.mer ?? null,
    channels: observation.channels,
    lostChannels: observation.lostChannels,
    ...(inMaintenance ? { inMaintenance } : {}),
  };
}
