import { endDay } from './days.ts';
import { takeRamp } from './driftWatch.ts';
import { close, openOf, track } from './findings.ts';
import { addToHour, dayOf, endHour, hourOf, hourRow } from './hours.ts';
import { endLearning, instrumentOf, isLearning, learnOffset } from './instruments.ts';
import { watchLoss } from './lossWatch.ts';
import { byMetric, emptyMetric, type MetricState, type Tracked, type TrendState } from './state.ts';
import { settle, takeStep } from './steps.ts';
import { restartAt, watchStep } from './stepWatch.ts';
import { smallestStepDb } from './tuning.ts';
import {
  type Finding,
  HOUR_MS,
  type HourRow,
  METRICS,
  type Metric,
  type Observation,
  type Reference,
} from './types.ts';

/** What one sweep changed. */
export interface Advance {
  /** Findings that are new or differ from what was told before. */
  readonly changed: readonly Finding[];
  /** The hour before this sweep's, when this sweep ended it. */
  readonly endedHour: HourRow | null;
}

const DEFAULT_SPREAD_DB: Record<Metric, number> = { level: 0.3, tilt: 0.4, flatness: 0.4, mer: 0.5 };
const BASELINE_SWEEPS = 20;
const FIRST_GAP_MS = HOUR_MS / 4;
const GAP_SHARE = 0.1;

/**
 * Takes one sweep's observation into the state of its point, which is changed. Sweeps come in order of time. O(1), and the state
 * stays bounded. `reference` is what the observation was made against; null before the first baseline, when only the hours are kept.
 * @throws RangeError when the observation is older than the state
 */
export function advance(state: TrendState, observation: Observation, reference: Reference | null): Advance {
  const { atMs } = observation;
  if (state.lastMs !== null && atMs < state.lastMs) throw new RangeError('sweeps must come in order of time');
  const changed = new Set<Tracked>();

  let endedHour: HourRow | null = null;
  let newDay = false;
  if (state.hour !== null && state.hour.hourMs !== hourOf(atMs)) {
    endedHour = hourRow(state);
    endHour(state);
    newDay = state.day !== null && state.day.day !== dayOf(atMs);
  }
  if (reference && reference.baselineVersion !== state.baselineVersion) {
    startBaseline(state, atMs, reference, changed);
  } else if (newDay) {
    endDay(state, reference, atMs, observation.ambientC, changed);
  }
  if (newDay) state.day = null;

  judge(state, observation, reference, changed);
  state.lastMs = atMs;
  return { changed: told(changed), endedHour };
}

/** Open and lately closed findings that have been told: what a replay from this state has to tell again. */
export function toldFindings(state: TrendState): Finding[] {
  return told(state.tracked);
}

function told(tracked: Iterable<Tracked>): Finding[] {
  const findings: Finding[] = [];
  for (const { finding, ledBy } of tracked) if (ledBy === null) findings.push(finding);
  return findings;
}

function judge(
  state: TrendState,
  observation: Observation,
  reference: Reference | null,
  changed: Set<Tracked>,
): void {
  if (reference === null) {
    addToHour(state, observation, null, null);
    return;
  }
  watchLoss(state, observation, changed);
  if (observation.feedLost) {
    addToHour(state, observation, reference, null);
    return;
  }
  const gapMs = followGap(state, observation.atMs);
  const instrument = instrumentOf(state, observation, reference);
  const measured: Record<Metric, number | null> = {
    level: observation.levelDevDb,
    tilt: observation.tiltDevDb,
    flatness: observation.flatnessDevDb,
    mer: observation.merDevDb,
  };
  const deviation = byMetric<number | null>(() => null);
  for (const metric of METRICS) {
    const value = measured[metric];
    if (value === null) continue;
    const m = state.metrics[metric];
    const corrected = value - temperaturePart(m, observation, reference) - instrument.offset[metric];
    if (isLearning(instrument, metric)) {
      learnOffset(instrument, metric, corrected - m.level, observation.atMs);
      continue;
    }
    deviation[metric] = value - instrument.offset[metric];
    judgeMetric(state, metric, observation.atMs, corrected, gapMs, changed);
  }
  const change = endLearning(instrument, observation.atMs);
  if (change)
    track(
      state,
      { finding: change, fromDb: 0, peakDb: 0, movingDbPerDay: 0, settlingUntilMs: 0, ledBy: null },
      changed,
    );
  addToHour(state, observation, reference, deviation);
}

function judgeMetric(
  state: TrendState,
  metric: Metric,
  atMs: number,
  corrected: number,
  gapMs: number,
  changed: Set<Tracked>,
): void {
  const m = state.metrics[metric];
  const smallest = smallestStepDb(metric, m, atMs - state.baselineSinceMs);
  const slope = state.tracked.length === 0 ? 0 : movingDbPerDay(state, metric);
  const step = watchStep(m, atMs, corrected, gapMs, state.gapMs, smallest, slope);
  if (step && !step.abrupt) takeRamp(state, metric, step, atMs, changed);
  else if (step) takeStep(state, metric, step, atMs, smallest, changed);
  else if (state.tracked.length > 0) settle(state, metric, atMs, changed);
}

function movingDbPerDay(state: TrendState, metric: Metric): number {
  return openOf(state, metric).reduce((sum, tracked) => sum + tracked.movingDbPerDay, 0);
}

function temperaturePart(m: MetricState, { ambientC }: Observation, reference: Reference): number {
  return ambientC === null || reference.ambientC === null ? 0 : m.perDegree * (ambientC - reference.ambientC);
}

/** Usual gap by its running median: a longer one moves it up by a tenth, a shorter one down. */
function followGap(state: TrendState, atMs: number): number {
  if (state.lastMs === null || state.lastMs === atMs) {
    if (state.gapMs === 0) state.gapMs = FIRST_GAP_MS;
    return state.gapMs;
  }
  const gapMs = atMs - state.lastMs;
  if (state.gapMs === 0) state.gapMs = gapMs;
  const share = Math.min(GAP_SHARE, Math.abs(Math.log(gapMs / state.gapMs)));
  state.gapMs *= Math.exp(share * Math.sign(gapMs - state.gapMs));
  return gapMs;
}

/** A new baseline starts the deviations afresh; what is known of noise and temperature stays. */
function startBaseline(state: TrendState, atMs: number, reference: Reference, changed: Set<Tracked>): void {
  for (const tracked of state.tracked) {
    if (tracked.finding.closedMs === null)
      close(tracked, atMs, changed, `baseline ${reference.baselineVersion}`);
  }
  const spread = {
    ...DEFAULT_SPREAD_DB,
    level: reference.levelSpreadDb ?? DEFAULT_SPREAD_DB.level,
    tilt: reference.levelSpreadDb ?? DEFAULT_SPREAD_DB.tilt,
    mer: reference.merSpreadDb ?? DEFAULT_SPREAD_DB.mer,
  };
  for (const metric of METRICS) {
    const before = state.metrics[metric];
    const isNew = before.count === 0;
    const m = isNew ? emptyMetric() : before;
    restartAt(m, 0, BASELINE_SWEEPS);
    m.recent = [];
    m.disturbed = false;
    m.driftFromDay = dayOf(atMs);
    if (isNew) {
      m.variance = spread[metric] ** 2 * 0.75;
      m.swing = Math.max(0.1, spread[metric]);
    }
    state.metrics[metric] = m;
  }
  state.baselineVersion = reference.baselineVersion;
  state.baselineSinceMs = atMs;
  state.instruments = [];
  state.day = null;
  if (state.hour) for (const metric of METRICS) state.hour.deviation[metric].length = 0;
  state.days.day.length = 0;
  state.days.ambient.length = 0;
  for (const metric of METRICS) state.days.deviation[metric].length = 0;
  state.loss.pending = [];
  state.loss.returned = [];
}
