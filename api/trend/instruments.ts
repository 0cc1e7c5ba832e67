import { median } from '../../ingest/signal/median.ts';
import { byMetric, type InstrumentState, type TrendState, thousandths } from './state.ts';
import {
  DAY_MS,
  type Finding,
  HOUR_MS,
  METRICS,
  type Metric,
  type Observation,
  type Reference,
} from './types.ts';

const REMEMBERED = 4;
const FEWEST_SWEEPS = 4;
const MOST_SWEEPS = 24;
/** Two meters may differ by 2 dB (common practice); what is well beyond that is not the meter's. */
const LARGEST_OFFSET_DB = 3;

/** The state of the sweep's instrument, begun when it is new here. */
export function instrumentOf(
  state: TrendState,
  observation: Observation,
  reference: Reference,
): InstrumentState {
  const known = state.instruments.find((instrument) => instrument.id === observation.instrument);
  if (known) {
    known.lastMs = observation.atMs;
    return known;
  }
  const ofBaseline =
    reference.instruments.includes(observation.instrument) ||
    (reference.instruments.length === 0 && state.instruments.length === 0);
  const started: InstrumentState = {
    id: observation.instrument,
    firstMs: observation.atMs,
    lastMs: observation.atMs,
    offset: byMetric(() => 0),
    learning: byMetric(() => []),
    ofBaseline,
  };
  state.instruments.push(started);
  if (state.instruments.length > REMEMBERED) {
    const oldest = state.instruments.reduce((a, b) => (b.lastMs < a.lastMs ? b : a));
    state.instruments = state.instruments.filter((instrument) => instrument !== oldest);
  }
  return started;
}

/**
 * Whether `metric` of this instrument is still being learnt. The baseline's own instrument has no offset of level or tilt; flatness
 * and worst margin of single sweeps lie beside those of the baseline's medians even so, by what noise does to a largest and a smallest value.
 */
export function isLearning(instrument: InstrumentState, metric: Metric): boolean {
  if (instrument.learning === null) return false;
  return !instrument.ofBaseline || metric === 'flatness' || metric === 'mer';
}

/** Gathers how far a sweep lies from where the point lay, hourly at most, so that a day counts as a whole. */
export function learnOffset(
  instrument: InstrumentState,
  metric: Metric,
  distanceDb: number,
  atMs: number,
): void {
  const values = instrument.learning?.[metric];
  if (!values || values.length >= MOST_SWEEPS) return;
  if (atMs - instrument.firstMs >= values.length * HOUR_MS) values.push(thousandths(distanceDb));
}

/**
 * Ends learning once a day of the instrument has been seen. Returns the event for an instrument that isn't the baseline's,
 * with its offsets; one too large to be a meter's is not taken out, and shows as the change that it is.
 */
export function endLearning(instrument: InstrumentState, atMs: number): Finding | null {
  const { learning } = instrument;
  if (learning === null || atMs - instrument.firstMs < DAY_MS) return null;
  const most = Math.max(...METRICS.map((metric) => learning[metric].length));
  if (most < FEWEST_SWEEPS && atMs - instrument.firstMs < 4 * DAY_MS) return null;

  const found = byMetric((metric) => thousandths(median(learning[metric]) ?? 0));
  for (const metric of METRICS) {
    const taken = isLearning(instrument, metric) && Math.abs(found[metric]) <= LARGEST_OFFSET_DB;
    instrument.offset[metric] = taken ? found[metric] : 0;
  }
  instrument.learning = null;
  return instrument.ofBaseline ? null : changeOf(instrument, found, learning, atMs);
}

function changeOf(
  instrument: InstrumentState,
  found: Record<Metric, number>,
  learning: Record<Metric, number[]>,
  atMs: number,
): Finding {
  const size = found.level;
  const sorted = [...learning.level].sort((a, b) => a - b);
  return {
    kind: 'instrument-change',
    metric: 'level',
    detectedMs: atMs,
    onsetMs: instrument.firstMs,
    onsetLowMs: instrument.firstMs,
    onsetHighMs: instrument.firstMs,
    sizeDb: size,
    sizeLowDb: sorted[Math.floor(sorted.length * 0.1)] ?? size,
    sizeHighDb: sorted[Math.floor(sorted.length * 0.9)] ?? size,
    slopeDbPerDay: null,
    slopeLowDbPerDay: null,
    slopeHighDbPerDay: null,
    daysToLimit: null,
    limitName: null,
    closedMs: atMs,
    evidence: { instrument: instrument.id, offsetDb: found, takenOutDb: { ...instrument.offset } },
  };
}
