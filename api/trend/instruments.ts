import { median } from '../../ingest/signal/median.ts';
import { levelsOf } from './quick.ts';
import { thousandths } from './rounding.ts';
import type { InstrumentState, PointTrend } from './state.ts';
import { byFeature, FEATURES, type Features, HOUR_MS, type Observation, type Reference } from './types.ts';

const REMEMBERED = 6;
/** Sweeps by which an instrument's offset is learnt, and how long that may take when sweeps are rare. */
const SWEEPS = 8;
const FEWEST_SWEEPS = 3;
const LONGEST_MS = 48 * HOUR_MS;
/** Two meters may differ by 2 dB (common practice); what is well beyond that is not the meter's. */
const LARGEST_OFFSET_DB = 3;

/** What an instrument that took over reads differently from the one before, or from itself before it was calibrated. */
export interface InstrumentChange {
  readonly id: string;
  /** The calibration that made the difference; null where another instrument did. */
  readonly calibratedMs: number | null;
  readonly firstMs: number;
  readonly offset: Features;
  /** What is taken out of its readings from now on. */
  readonly takenOut: Features;
  /** 10 % and 90 % of the distances in level that it was learnt from, dB. */
  readonly lowDb: number;
  readonly highDb: number;
}

/** The state of the sweep's instrument, begun when it is new here or newly calibrated. */
export function instrumentOf(
  point: PointTrend,
  observation: Observation,
  reference: Reference,
): InstrumentState {
  const { instrument: id, calibratedMs } = observation;
  const known = point.instruments.find(
    (instrument) => instrument.id === id && (instrument.calibratedMs ?? null) === calibratedMs,
  );
  if (known) {
    known.lastMs = observation.atMs;
    return known;
  }
  const isOfBaseline =
    reference.instruments.includes(id) ||
    (reference.instruments.length === 0 && point.instruments.length === 0);
  const isAsThen = calibratedMs === null || calibratedMs <= reference.madeUntilMs;
  const started: InstrumentState = {
    id,
    ...(calibratedMs === null ? {} : { calibratedMs }),
    firstMs: observation.atMs,
    lastMs: observation.atMs,
    offset: byFeature(() => 0),
    learning: isOfBaseline && isAsThen ? null : byFeature(() => []),
  };
  point.instruments.push(started);
  if (point.instruments.length > REMEMBERED) {
    const oldest = point.instruments.reduce((a, b) => (b.lastMs < a.lastMs ? b : a));
    point.instruments = point.instruments.filter((instrument) => instrument !== oldest);
  }
  return started;
}

/** A sweep's features free of what its instrument reads differently. */
export function withoutOffset(
  features: Features<number | null>,
  { offset }: InstrumentState,
): Features<number | null> {
  return byFeature((feature) => {
    const value = features[feature];
    return value === null ? null : value - offset[feature];
  });
}

/**
 * Gathers how far an instrument that is new here reads from where the point lay; once it is known, returns the change. What is too
 * large to be a meter's is not taken out, and so shows as the change of the plant that it is.
 */
export function learnOffset(
  point: PointTrend,
  instrument: InstrumentState,
  features: Features<number | null>,
  atMs: number,
): InstrumentChange | null {
  const { learning } = instrument;
  if (learning === null) return null;
  const levels = levelsOf(point);
  for (const feature of FEATURES) {
    const value = features[feature];
    if (value !== null) learning[feature].push(thousandths(value - levels[feature]));
  }
  const sweeps = learning.level.length;
  const longEnough = atMs - instrument.firstMs >= LONGEST_MS && sweeps >= FEWEST_SWEEPS;
  if (sweeps < SWEEPS && !longEnough) return null;

  const offset = byFeature((feature) => thousandths(median(learning[feature]) ?? 0));
  instrument.offset = byFeature((feature) =>
    Math.abs(offset[feature]) <= LARGEST_OFFSET_DB ? offset[feature] : 0,
  );
  instrument.learning = null;
  const sorted = learning.level.toSorted((a, b) => a - b);
  return {
    id: instrument.id,
    calibratedMs: isRecalibrated(point, instrument) ? instrument.calibratedMs! : null,
    firstMs: instrument.firstMs,
    offset,
    takenOut: instrument.offset,
    lowDb: sorted[Math.floor(sorted.length * 0.1)] ?? 0,
    highDb: sorted[Math.floor(sorted.length * 0.9)] ?? 0,
  };
}

/** Whether the same instrument read here before this calibration of it. */
function isRecalibrated(point: PointTrend, instrument: InstrumentState): boolean {
  return (
    instrument.calibratedMs !== undefined &&
    point.instruments.some((other) => other !== instrument && other.id === instrument.id)
  );
}
