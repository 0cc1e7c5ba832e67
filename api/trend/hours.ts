import { median } from '../../ingest/signal/median.ts';
import { thousandths } from './rounding.ts';
import type { HourState, PointTrend } from './state.ts';
import { DAY_MS, HOUR_MS, type HourRow, type Observation, type Reference } from './types.ts';

/** An hour keeps so many sweeps for its medians; later ones take the place of the earliest. */
const MOST_SWEEPS = 120;

export function hourOf(atMs: number): number {
  return Math.floor(atMs / HOUR_MS) * HOUR_MS;
}

export function dayOf(atMs: number): number {
  return Math.floor(atMs / DAY_MS);
}

/** Adds a sweep to the hour in progress, which the caller has ended when it was an earlier one. */
export function addToHour(point: PointTrend, observation: Observation, reference: Reference | null): void {
  point.hour ??= startHour(observation.atMs);
  const { hour } = point;
  hour.thenLevelDbmv = reference?.levelDbmv ?? null;
  hour.thenTiltDb = reference?.tiltDb ?? null;
  const slot = hour.sweeps++ % MOST_SWEEPS;
  const full = hour.sweeps > MOST_SWEEPS;
  put(hour.ambient, observation.ambientC, slot, full);
  put(hour.measured.level, observation.levelDbmv, slot, full);
  put(hour.measured.tilt, observation.tiltDb, slot, full);
  put(hour.measured.flatness, observation.flatnessDb, slot, full);
  put(hour.measured.mer, observation.merMarginDb, slot, full);
}

/** Medians of the hour in progress; null when it has no sweep. */
export function hourRow({ hour }: PointTrend): HourRow | null {
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

function startHour(atMs: number): HourState {
  return {
    hourMs: hourOf(atMs),
    sweeps: 0,
    thenLevelDbmv: null,
    thenTiltDb: null,
    ambient: [],
    measured: { level: [], tilt: [], flatness: [], mer: [] },
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
