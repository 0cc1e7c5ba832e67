import { advance } from '../../../api/trend/advance.ts';
import { emptyState, keyOf, type TrendState } from '../../../api/trend/state.ts';
import { DAY_MS, type Finding, type Observation, type Reference } from '../../../api/trend/types.ts';
import { normalNoise, uniformNoise } from './noise.ts';

export const START_MS = Date.UTC(2026, 0, 5, 7);

export interface Scenario {
  readonly seed: number;
  readonly days: number;
  readonly intervalMs?: number;
  /** Sweeps carry the air temperature. */
  readonly ambient?: boolean;
  readonly dbPerDegree?: number;
  readonly wildShare?: number;
  readonly missingShare?: number;
  /** Added to the level, dB, by days since the start. */
  readonly levelFault?: (day: number) => number;
  readonly tiltFault?: (day: number) => number;
  readonly merFault?: (day: number) => number;
  readonly instrument?: (day: number) => { id: string; biasDb: number };
  readonly lost?: (day: number) => string[];
  readonly feedLost?: (day: number) => boolean;
}

export const REFERENCE: Reference = {
  baselineVersion: 1,
  levelDbmv: 20,
  tiltDb: 0,
  flatnessDb: 2,
  merMarginDb: 5,
  ambientC: 20,
  levelSpreadDb: 0.35,
  merSpreadDb: 0.5,
  instruments: ['probe-1'],
  limits: [
    { name: 'level', metric: 'level', min: 15, max: 25 },
    { name: 'MER', metric: 'mer', min: 0, max: null },
  ],
};

const CHANNELS = ['2', '3', '4', '5', '6', '7', '8', '9', '10', '11'];

/**
 * One point: correlated noise (lag one 0.6 at 15 minutes), cable that follows a hot ceiling's day, weather and season,
 * missing and wild sweeps. Returns every finding in its last form.
 */
export function simulatePoint(scenario: Scenario): {
  findings: Finding[];
  state: TrendState;
  sweeps: number;
} {
  const state = emptyState();
  const findings = new Map<string, Finding>();
  let sweeps = 0;
  for (const observation of observations(scenario)) {
    sweeps++;
    for (const finding of advance(state, observation, REFERENCE).changed) {
      findings.set(keyOf(finding), finding);
    }
  }
  return { findings: [...findings.values()], state, sweeps };
}

export function* observations(scenario: Scenario): Generator<Observation> {
  const { seed, days, intervalMs = DAY_MS / 96, dbPerDegree = 0.04 } = scenario;
  const { wildShare = 0.003, missingShare = 0.05 } = scenario;
  const normal = normalNoise(seed);
  const uniform = uniformNoise(seed + 1000);
  const rho = 0.6 ** (intervalMs / (DAY_MS / 96));
  const kick = Math.sqrt(1 - rho * rho);
  let [level, tilt, mer, weather] = [normal(), normal(), normal(), normal()];
  let weatherDay = 0;

  for (let atMs = START_MS; atMs < START_MS + days * DAY_MS; atMs += intervalMs) {
    const day = (atMs - START_MS) / DAY_MS;
    level = rho * level + kick * normal();
    tilt = rho * tilt + kick * normal();
    mer = rho * mer + kick * normal();
    if (Math.floor(day) !== weatherDay) {
      weatherDay = Math.floor(day);
      weather = 0.7 * weather + Math.sqrt(1 - 0.49) * normal();
    }
    const ambient =
      20 + 9 * Math.sin(2 * Math.PI * (day - 0.15)) + 8 * Math.sin((2 * Math.PI * day) / 365) + 2.5 * weather;
    if (uniform() < missingShare) continue;
    const wild = uniform() < wildShare ? 6 * normal() : 0;
    const { id, biasDb } = scenario.instrument?.(day) ?? { id: 'probe-1', biasDb: 0 };
    const warm = -dbPerDegree * (ambient - 20);
    const feedLost = scenario.feedLost?.(day) ?? false;
    const lostChannels = feedLost ? CHANNELS : (scenario.lost?.(day) ?? []);
    const levelDevDb = round(0.15 * level + warm + wild + biasDb + (scenario.levelFault?.(day) ?? 0));
    const tiltDevDb = round(0.12 * tilt + 0.5 * warm + 0.5 * wild + (scenario.tiltFault?.(day) ?? 0));
    const flatnessDevDb = round(0.9 + 0.2 * Math.abs(normal()) + Math.abs(wild));
    const merDevDb = round(-0.6 + 0.3 * mer - Math.abs(wild) + (scenario.merFault?.(day) ?? 0));
    yield {
      atMs,
      instrument: id,
      ambientC: scenario.ambient === false ? null : round(ambient),
      levelDbmv: feedLost ? null : 20 + levelDevDb,
      tiltDb: feedLost ? null : tiltDevDb,
      flatnessDb: feedLost ? null : 2 + flatnessDevDb,
      merMarginDb: feedLost ? null : 5 + merDevDb,
      merMarginChannel: '2',
      levelDevDb: feedLost ? null : levelDevDb,
      tiltDevDb: feedLost ? null : tiltDevDb,
      flatnessDevDb: feedLost ? null : flatnessDevDb,
      merDevDb: feedLost ? null : merDevDb,
      lostChannels,
      seenChannels: CHANNELS.filter((channel) => !lostChannels.includes(channel)),
      channels: CHANNELS.length,
      feedLost,
    };
  }
}

function round(value: number): number {
  return Math.round(value * 100) / 100;
}
