import { median } from '../../ingest/signal/median.ts';
import { byMetric, type HourState, type TrendState, thousandths } from './state.ts';
import {
  DAY_MS,
  HOUR_MS,
  type HourRow,
  METRICS,
  type Metric,
  type Observation,
  type Reference,
} from './types.ts';

/** An hour keeps so many sweeps for its medians; later ones take the place of the earliest. */
const MOST_SWEEPS = 120;

export function hourOf(atMs: number): number {
  return Math.floor(atMs / HOUR_MS) * HOUR_MS;
}

export function dayOf(atMs: number): number {
  return Math.floor(atMs / DAY_MS);
}

/**
 * Adds a sweep to the hour in progress. `deviation` is against the baseline and free of instrument offsets; null where
 * the sweep can't say.
 */
export function addToHour(
  state: TrendState,
  observation: Observation,
  reference: Reference | null,
  deviation: Record<Metric, number | null> | null,
): void {
  state.hour ??= startHour(observation.atMs);
  const { hour } = state;
  hour.thenLevelDbmv = reference?.levelDbmv ?? null;
  hour.thenTiltDb = reference?.tiltDb ?? null;
  const slot = hour.sweeps++ % MOST_SWEEPS;
  const full = hour.sweeps > MOST_SWEEPS;
  put(hour.ambient, observation.ambientC, slot, full);
  put(hour.measured.level, observation.levelDbmv, slot, full);
  put(hour.measured.tilt, observation.tiltDb, slot, full);
  put(hour.measured.flatness, observation.flatnessDb, slot, full);
  put(hour.measured.mer, observation.merMarginDb, slot, full);
  if (deviation === null) return;
  for (const metric of METRICS) put(hour.deviation[metric], deviation[metric], slot, full);
}

/** Medians of the hour in progress; null when it has no sweep. */
export function hourRow(state: TrendState): HourRow | null {
  const { hour } = state;
  if (hour === null) return null;
  const level = median(hour.measured.level);
  const tilt = median(hour.measured.tilt);
  return {
    hourMs: hour.hourMs,
    sweeps: hour.sweeps,
    levelDbmv: level,
    levelDevDb: less(level, hour.thenLevelDbmv),
    tiltDb: tilt,
    tiltDevDb: less(tilt, hour.thenTiltDb),
    flatnessDb: median(hour.measured.flatness),
    merMarginDb: median(hour.measured.mer),
    ambientC: median(hour.ambient),
  };
}

/** Ends the hour in progress: its medians join the day, which is begun when there is none. */
export function endHour(state: TrendState): void {
  const { hour } = state;
  if (hour === null) return;
  state.day ??= { day: dayOf(hour.hourMs), hour: [], ambient: [], deviation: byMetric(() => []) };
  state.day.hour.push((hour.hourMs % DAY_MS) / HOUR_MS);
  state.day.ambient.push(median(hour.ambient));
  for (const metric of METRICS) {
    const value = median(hour.deviation[metric]);
    state.day.deviation[metric].push(value === null ? null : thousandths(value));
  }
  state.hour = null;
}

function startHour(atMs: number): HourState {
  return {
    hourMs: hourOf(atMs),
    sweeps: 0,
    thenLevelDbmv: null,
    thenTiltDb: null,
    ambient: [],
    measured: byMetric(() => []),
    deviation: byMetric(() => []),
  };
}

function put(values: number[], value: number | null, slot: number, full: boolean): void {
  if (value === null) return;
  if (full && slot < values.length) values[slot] = thousandths(value);
  else if (values.length < MOST_SWEEPS) values.push(thousandths(value));
}

function less(value: number | null, then: number | null): number | null {
  return value === null || then === null ? null : thousandths(value - then);
}
