import { type BandShape, FEATURES, type Feature, type Finding } from '../../trend/types.ts';

/** `errorDb` is above 0: a figure without an error was not measured. */
interface Estimate {
  readonly db: number;
  readonly errorDb: number;
}

/** What the engine may say beside a finding's own numbers; null or empty where it doesn't. */
export interface Evidence {
  readonly features: Readonly<Partial<Record<Feature, Estimate>>>;
  /** Chance of each shape; they add up to 1. */
  readonly shapeOdds: Readonly<Record<BandShape, number>> | null;
  readonly freqMhz: number | null;
  readonly widthMhz: number | null;
  readonly delayNs: number | null;
  readonly distanceM: number | null;
  /** Other delays would show the same ripple on this channel raster. */
  readonly ambiguousDelay: boolean;
  readonly channels: readonly string[];
  /** Number of dips. */
  readonly times: number | null;
  /** Of a change of instrument: which one reads otherwise, and the calibration that made the difference, if one did. */
  readonly instrument: string | null;
  readonly calibratedMs: number | null;
}

/** A finding's evidence with its types checked: it comes from a stored row. */
export function readEvidence({ evidence }: Finding): Evidence {
  const named = evidence['channels'] ?? evidence['channel'];
  return {
    features: featuresOf(evidence['features']),
    shapeOdds: oddsOf(evidence['shapeOdds']),
    freqMhz: numberOf(evidence['freqMhz']),
    widthMhz: numberOf(evidence['widthMhz']),
    delayNs: numberOf(evidence['delayNs']),
    distanceM: numberOf(evidence['distanceM']),
    ambiguousDelay: evidence['ambiguousDelay'] === true,
    channels: [named].flat().filter((name) => typeof name === 'string'),
    times: numberOf(evidence['times']),
    instrument: typeof evidence['instrument'] === 'string' ? evidence['instrument'] : null,
    calibratedMs: numberOf(evidence['calibratedMs']),
  };
}

function featuresOf(value: unknown): Evidence['features'] {
  if (!isRecord(value)) return {};
  const read: Partial<Record<Feature, Estimate>> = {};
  for (const feature of FEATURES) {
    const estimate = value[feature];
    if (!isRecord(estimate)) continue;
    const [db, errorDb] = [numberOf(estimate['db']), numberOf(estimate['errorDb'])];
    if (db !== null && errorDb !== null && errorDb > 0) read[feature] = { db, errorDb };
  }
  return read;
}

function oddsOf(value: unknown): Evidence['shapeOdds'] {
  if (!isRecord(value)) return null;
  const [flat, cable, lowEnd] = [value['flat'], value['cable'], value['low-end']].map(
    (odds) => numberOf(odds) ?? 0,
  );
  const sum = flat! + cable! + lowEnd!;
  return sum > 0 ? { flat: flat! / sum, cable: cable! / sum, 'low-end': lowEnd! / sum } : null;
}

function numberOf(value: unknown): number | null {
  return typeof value === 'number' && Number.isFinite(value) ? value : null;
}

function isRecord(value: unknown): value is Readonly<Record<string, unknown>> {
  return typeof value === 'object' && value !== null;
}
