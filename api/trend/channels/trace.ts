import type { Band } from './band.ts';
import type {
  Block,
  ChannelShape,
  ChannelTrend,
  Interval,
  OpenConclusion,
  TracePoint,
} from './channelTrend.ts';
import { blockDeviation, blockVariance, normalVariance } from './deviations.ts';
import { fitShape, squaresBeside } from './fitShape.ts';
import type { TraceFit } from './fitTrace.ts';
import type { Placed } from './placed.ts';
import { shapeValues, sizeOfAmplitude } from './shapeValues.ts';
import { SMALLEST_MER_SHIFT_DB, SMALLEST_NOTCH_DB, SMALLEST_RIPPLE_DB, SMALLEST_SHIFT_DB } from './tuning.ts';

const TRACE_MOST = 14;
/** The newest stretches of a trace stay as they are. */
const TRACE_FINE = 6;

/** How large `shape` was over the blocks given, beside what other conclusions explain; rising in time. */
export function traceOf(
  trend: ChannelTrend,
  band: Band,
  shape: ChannelShape,
  others: readonly OpenConclusion[],
  blocks: readonly Block[],
): TracePoint[] {
  const template = shapeValues(band, shape);
  return blocks
    .map((block): TracePoint => {
      const { amplitude, energy } = fitShape(band, template, blockDeviation(trend, band, block, others));
      const errorDb = Math.sqrt(blockVariance(trend, block.sweeps) / Math.max(1e-6, energy));
      const { fromMs, toMs, sweeps } = block;
      return { fromMs, toMs, sweeps, db: round(amplitude), errorDb: round(errorDb) };
    })
    .sort((a, b) => a.fromMs - b.fromMs);
}

/** Error that all points of a trace share, dB. */
export function offsetErrorDb(trend: ChannelTrend, band: Band, shape: ChannelShape): number {
  const energy = squaresBeside(band, shapeValues(band, shape));
  return Math.sqrt(normalVariance(trend) / Math.max(1e-6, energy));
}

/** States a trace that was taken with one shape by another: what the new shape finds in the old one. */
export function restated(
  band: Band,
  trace: readonly TracePoint[],
  before: ChannelShape,
  after: ChannelShape,
): readonly TracePoint[] {
  const { amplitude, energy } = fitShape(band, shapeValues(band, after), shapeValues(band, before));
  const energyBefore = squaresBeside(band, shapeValues(band, before));
  const errorShare = Math.sqrt(energyBefore / Math.max(1e-6, energy));
  return trace.map((point) => ({
    ...point,
    db: round(amplitude * point.db),
    errorDb: round(errorShare * point.errorDb),
  }));
}

/** Puts the newest blocks, as they are now, in the place of what a trace said of the same time. */
export function renewTrace(trace: readonly TracePoint[], newest: readonly TracePoint[]): TracePoint[] {
  const kept = trace.filter(
    ({ fromMs, toMs }) => !newest.some((block) => block.fromMs <= fromMs && toMs <= block.toMs),
  );
  return shortened([...kept, ...newest].sort((a, b) => a.fromMs - b.fromMs));
}

/** Joins the two neighbours that hold least until the trace is short enough. */
function shortened(trace: TracePoint[]): TracePoint[] {
  while (trace.length > TRACE_MOST) {
    let at = 0;
    for (let i = 1; i < trace.length - TRACE_FINE; i++) {
      if (trace[i]!.sweeps + trace[i + 1]!.sweeps < trace[at]!.sweeps + trace[at + 1]!.sweeps) at = i;
    }
    const [a, b] = [trace[at]!, trace[at + 1]!];
    const sweeps = a.sweeps + b.sweeps;
    trace.splice(at, 2, {
      fromMs: a.fromMs,
      toMs: b.toMs,
      sweeps,
      db: round((a.sweeps * a.db + b.sweeps * b.db) / sweeps),
      errorDb: round(Math.hypot(a.sweeps * a.errorDb, b.sweeps * b.errorDb) / sweeps),
    });
  }
  return trace;
}

/** Size and times of a conclusion from its trace; the place widens the size's interval. */
export function sized(
  kind: ChannelShape['kind'],
  fit: TraceFit,
  place: Placed,
): Pick<OpenConclusion, 'onsetMs' | 'sizeDb' | 'slopeDbPerDay'> {
  const amplitude = withPlace(fit.amplitudeDb, place);
  const size = {
    value: round(sizeOfAmplitude(kind, amplitude.value)),
    low: round(sizeOfAmplitude(kind, amplitude.low)),
    high: round(sizeOfAmplitude(kind, amplitude.high)),
  };
  const perAmplitude = amplitude.value === 0 ? 1 : size.value / amplitude.value;
  const slope = fit.slopeDbPerDay;
  return {
    onsetMs: fit.onsetMs,
    sizeDb: size,
    slopeDbPerDay:
      slope === null
        ? null
        : {
            value: round(slope.value * perAmplitude),
            low: round(slope.low * perAmplitude),
            high: round(slope.high * perAmplitude),
          },
  };
}

/** Whether a change is large enough to be told. */
export function isWorthTelling(shape: ChannelShape, metric: 'level' | 'mer', sizeDb: number): boolean {
  const size = Math.abs(sizeDb);
  if (metric === 'mer') return size >= SMALLEST_MER_SHIFT_DB;
  switch (shape.kind) {
    case 'notch':
      return size >= SMALLEST_NOTCH_DB;
    case 'ripple':
      return size >= SMALLEST_RIPPLE_DB;
    case 'channel-shift':
      return size >= SMALLEST_SHIFT_DB;
  }
}

function withPlace(amplitude: Interval, place: Placed): Interval {
  const { value, low, high } = place.amplitude;
  if (value === 0) return amplitude;
  const down = Math.abs((value - low) / value) * Math.abs(amplitude.value);
  const up = Math.abs((high - value) / value) * Math.abs(amplitude.value);
  return {
    value: amplitude.value,
    low: amplitude.value - Math.max(amplitude.value - amplitude.low, down),
    high: amplitude.value + Math.max(amplitude.high - amplitude.value, up),
  };
}

function round(db: number): number {
  return Math.round(1e4 * db) / 1e4;
}
