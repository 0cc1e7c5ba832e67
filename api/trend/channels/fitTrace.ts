import { DAY_MS, HOUR_MS } from '../types.ts';
import type { Interval, TracePoint } from './channelTrend.ts';
import { meanDaysAfter, shareAfter } from './growth.ts';

/** 80 % point of χ² with one degree of freedom. */
export const CHI_SQUARE_80 = 1.642;
const ONSETS_A_STRETCH = 24;
/** What has lasted for less can't be told from a step. */
const SHORTEST_RAMP_MS = 12 * HOUR_MS;

export interface TraceFit {
  readonly onsetMs: Interval;
  /** Amplitude at the end of the trace, dB. */
  readonly amplitudeDb: Interval;
  /** Null where a step fits better than a ramp. */
  readonly slopeDbPerDay: Interval | null;
}

interface OnsetFit {
  readonly onsetMs: number;
  /** Step height, dB, or slope, dB a day. */
  readonly factor: number;
  readonly error: number;
  readonly misfit: number;
  readonly days: number;
}

/**
 * A step or a straight ramp out of nothing, whichever fits a trace better, with intervals of 80 % from the profile of the likelihood.
 * Points come in rising time; an onset older than the first is told as the first's beginning.
 * @param gapMs onsets are sought no finer than this
 * @throws RangeError for an empty trace
 */
export function fitTrace(trace: readonly TracePoint[], gapMs: number): TraceFit {
  if (trace.length === 0) throw new RangeError('the trace is empty; give at least one stretch');
  const onsets = onsetsToTry(trace, gapMs);
  const steps = onsets.map((onsetMs) => fitOnset(trace, onsetMs, shareAfter));
  const lastRampMs = trace[trace.length - 1]!.toMs - SHORTEST_RAMP_MS;
  const ramps = onsets
    .filter((onsetMs) => onsetMs <= lastRampMs)
    .map((onsetMs) => fitOnset(trace, onsetMs, meanDaysAfter));
  const step = best(steps);
  const ramp = ramps.length === 0 ? null : best(ramps);
  if (ramp === null || step.misfit <= ramp.misfit) {
    const near = steps.filter((fit) => fit.misfit <= step.misfit + CHI_SQUARE_80);
    return {
      onsetMs: onsetSpan(step, near, gapMs),
      amplitudeDb: span(
        step.factor,
        near.map((fit) => ends(fit, step.misfit, 1)),
      ),
      slopeDbPerDay: null,
    };
  }
  const near = ramps.filter((fit) => fit.misfit <= ramp.misfit + CHI_SQUARE_80);
  return {
    onsetMs: onsetSpan(ramp, near, gapMs),
    amplitudeDb: span(
      ramp.factor * ramp.days,
      near.map((fit) => ends(fit, ramp.misfit, fit.days)),
    ),
    slopeDbPerDay: span(
      ramp.factor,
      near.map((fit) => ends(fit, ramp.misfit, 1)),
    ),
  };
}

function onsetsToTry(trace: readonly TracePoint[], gapMs: number): number[] {
  const onsets: number[] = [];
  for (const { fromMs, toMs } of trace) {
    const stepMs = Math.max(gapMs, (toMs - fromMs) / ONSETS_A_STRETCH);
    for (let onsetMs = fromMs; onsetMs < toMs; onsetMs += stepMs) onsets.push(onsetMs);
  }
  return onsets.length === 0 ? [trace[0]!.fromMs] : onsets;
}

function fitOnset(
  trace: readonly TracePoint[],
  onsetMs: number,
  response: (onsetMs: number, fromMs: number, toMs: number) => number,
): OnsetFit {
  let [xx, xy, yy] = [0, 0, 0];
  for (const { fromMs, toMs, db, errorDb } of trace) {
    const x = response(onsetMs, fromMs, toMs) / errorDb;
    const y = db / errorDb;
    xx += x * x;
    xy += x * y;
    yy += y * y;
  }
  const days = (trace[trace.length - 1]!.toMs - onsetMs) / DAY_MS;
  if (xx < 1e-12) return { onsetMs, factor: 0, error: 0, misfit: yy, days };
  return { onsetMs, factor: xy / xx, error: 1 / Math.sqrt(xx), misfit: yy - (xy * xy) / xx, days };
}

function best(fits: readonly OnsetFit[]): OnsetFit {
  return fits.reduce((a, b) => (b.misfit < a.misfit ? b : a));
}

/** Ends that the likelihood leaves to an onset's factor, times `scale`. */
function ends(fit: OnsetFit, least: number, scale: number): [number, number] {
  const reach = fit.error * Math.sqrt(Math.max(0, least + CHI_SQUARE_80 - fit.misfit));
  return [(fit.factor - reach) * scale, (fit.factor + reach) * scale];
}

/** No change is seen before the sweep that follows it, so its time is open by a gap either way. */
function onsetSpan(best: OnsetFit, near: readonly OnsetFit[], gapMs: number): Interval {
  return span(
    best.onsetMs,
    near.map((fit) => [fit.onsetMs - gapMs, fit.onsetMs + gapMs]),
  );
}

function span(value: number, ranges: readonly (readonly [number, number])[]): Interval {
  return {
    value,
    low: Math.min(value, ...ranges.map(([low]) => low)),
    high: Math.max(value, ...ranges.map(([, high]) => high)),
  };
}
