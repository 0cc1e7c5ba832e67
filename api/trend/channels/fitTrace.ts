import { meanDaysAfter, shareAfter } from '../afterOnset.ts';
import { DAY_MS, HOUR_MS } from '../types.ts';
import type { Interval, TracePoint } from './channelTrend.ts';

/** 80 % point of χ² with one degree of freedom. */
export const CHI_SQUARE_80 = 1.642;
/** No change has quite the shape or the course that is fitted: share of its size. Common practice, no source. */
const MISFIT = 0.02;
/** A stretch is the mean of single sweeps, so an onset within it is known to one of them, evenly spread: 1/√12. */
const SWEEP_SHARE = 0.29;
/** χ² within which onsets fit alike. */
const ALIKE = 0.1;
const ONSETS_A_STRETCH = 24;
/** Golden section: so many cuts leave a thousandth of the way between two onsets that were tried. */
const GOLDEN = (Math.sqrt(5) - 1) / 2;
const CUTS = 15;
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
 * A step or a straight ramp out of nothing, whichever fits a trace better. Intervals of 80 % come from the profile of the likelihood over
 * both, since early on either may be true.
 * Points come in rising time; an onset older than the first is told as the first's beginning.
 * @param gapMs onsets are sought no finer than this
 * @param offsetErrorDb standard error that all points share, since what is normal is not known better
 * @throws RangeError for an empty trace
 */
export function fitTrace(trace: readonly TracePoint[], gapMs: number, offsetErrorDb = 0): TraceFit {
  if (trace.length === 0) throw new RangeError('the trace is empty; give at least one stretch');
  const onsets = onsetsToTry(trace, gapMs);
  const lastRampMs = trace[trace.length - 1]!.toMs - SHORTEST_RAMP_MS;
  const steps = fitsFrom(onsets, (onsetMs) => fitOnset(trace, onsetMs, shareAfter, offsetErrorDb));
  const ramps = fitsFrom(
    onsets.filter((onsetMs) => onsetMs <= lastRampMs),
    (onsetMs) => fitOnset(trace, onsetMs, meanDaysAfter, offsetErrorDb),
  );
  const step = best(steps);
  const ramp = ramps.length === 0 ? null : best(ramps);
  const least = Math.min(step.misfit, ramp?.misfit ?? step.misfit);
  const nearSteps = steps.filter((fit) => fit.misfit <= least + CHI_SQUARE_80);
  const nearRamps = ramps.filter((fit) => fit.misfit <= least + CHI_SQUARE_80);
  const isStep = ramp === null || step.misfit <= ramp.misfit;
  const chosen = isStep ? step : ramp;
  return {
    onsetMs: onsetSpan(chosen, isStep ? steps : ramps, [...nearSteps, ...nearRamps], gapMs),
    amplitudeDb: span(isStep ? step.factor : chosen.factor * chosen.days, [
      ...nearSteps.map((fit) => ends(fit, least, 1)),
      ...nearRamps.map((fit) => ends(fit, least, fit.days)),
    ]),
    slopeDbPerDay: isStep
      ? null
      : span(
          chosen.factor,
          nearRamps.map((fit) => ends(fit, least, 1)),
        ),
  };
}

function onsetsToTry(trace: readonly TracePoint[], gapMs: number): number[] {
  const onsets = [trace[0]!.fromMs];
  for (const { toMs } of trace) {
    const fromMs = onsets[onsets.length - 1]!;
    const stepMs = Math.max(gapMs, (toMs - fromMs) / ONSETS_A_STRETCH);
    for (let onsetMs = fromMs + stepMs; onsetMs < toMs; onsetMs += stepMs) onsets.push(onsetMs);
  }
  return onsets;
}

/**
 * A fit for each onset, and more around the best of them: a large change tells its onset more closely than the onsets tried lie apart, and
 * what a rough onset leaves would pass for a ramp.
 */
function fitsFrom(onsets: readonly number[], fitAt: (onsetMs: number) => OnsetFit): OnsetFit[] {
  const fits = onsets.map(fitAt);
  if (fits.length < 2) return fits;
  const place = fits.indexOf(best(fits));
  let low = onsets[Math.max(0, place - 1)]!;
  let high = onsets[Math.min(onsets.length - 1, place + 1)]!;
  for (let cut = 0; cut < CUTS; cut++) {
    const inner = [low + (1 - GOLDEN) * (high - low), low + GOLDEN * (high - low)].map(fitAt);
    fits.push(...inner);
    if (inner[0]!.misfit <= inner[1]!.misfit) high = inner[1]!.onsetMs;
    else low = inner[0]!.onsetMs;
  }
  return fits;
}

function fitOnset(
  trace: readonly TracePoint[],
  onsetMs: number,
  response: (onsetMs: number, fromMs: number, toMs: number) => number,
  offsetErrorDb: number,
): OnsetFit {
  let [one, x1, y1, xx, xy, yy] = [0, 0, 0, 0, 0, 0];
  const largestDb = Math.max(...trace.map(({ db }) => Math.abs(db)));
  for (const { fromMs, toMs, db, errorDb, sweeps } of trace) {
    const isDivided = fromMs < onsetMs && onsetMs < toMs;
    const modelError = largestDb * Math.hypot(MISFIT, isDivided ? SWEEP_SHARE / sweeps : 0);
    const weight = 1 / (errorDb ** 2 + modelError ** 2);
    const x = response(onsetMs, fromMs, toMs);
    one += weight;
    x1 += weight * x;
    y1 += weight * db;
    xx += weight * x * x;
    xy += weight * x * db;
    yy += weight * db * db;
  }
  // Sherman and Morrison: the inverse of a diagonal covariance to which the shared error adds one and the same square everywhere.
  const shared = offsetErrorDb ** 2 / (1 + offsetErrorDb ** 2 * one);
  xx -= shared * x1 * x1;
  xy -= shared * x1 * y1;
  yy -= shared * y1 * y1;
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

/**
 * Onsets that fit alike are told by the middle one. No change is seen before the sweep that follows it, so its time is open by a gap
 * either way. Whole milliseconds.
 */
function onsetSpan(
  best: OnsetFit,
  fits: readonly OnsetFit[],
  near: readonly OnsetFit[],
  gapMs: number,
): Interval {
  const alike = fits.filter((fit) => fit.misfit <= best.misfit + ALIKE).map((fit) => fit.onsetMs);
  const value = (Math.min(...alike) + Math.max(...alike)) / 2;
  const onsets = near.map((fit) => fit.onsetMs);
  return {
    value: Math.round(value),
    low: Math.round(Math.min(value, ...onsets) - gapMs),
    high: Math.round(Math.max(value, ...onsets) + gapMs),
  };
}

function span(value: number, ranges: readonly (readonly [number, number])[]): Interval {
  return {
    value,
    low: Math.min(value, ...ranges.map(([low]) => low)),
    high: Math.max(value, ...ranges.map(([, high]) => high)),
  };
}
