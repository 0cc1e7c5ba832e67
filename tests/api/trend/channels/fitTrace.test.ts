import { expect, test } from 'vitest';
import type { TracePoint } from '../../../../api/trend/channels/channelTrend.ts';
import { fitTrace } from '../../../../api/trend/channels/fitTrace.ts';
import { DAY_MS, HOUR_MS } from '../../../../api/trend/types.ts';
import { normalNoise } from '../noise.ts';

const HALF = DAY_MS / 2;

/** Half-day means of what `db` gives by the hour. */
function trace(halves: number, db: (day: number) => number, errorDb = 0.01): TracePoint[] {
  return Array.from({ length: halves }, (_, i) => {
    const hours = Array.from({ length: 1200 }, (_, k) => db((i + (k + 0.5) / 1200) / 2));
    const mean = hours.reduce((sum, value) => sum + value, 0) / hours.length;
    return { fromMs: i * HALF, toMs: (i + 1) * HALF, sweeps: 48, db: mean, errorDb };
  });
}

test('a clean ramp gives its onset, slope and size back', () => {
  const fit = fitTrace(
    trace(16, (day) => -0.1 * Math.max(0, day - 3.25)),
    HOUR_MS,
  );
  expect(fit.slopeDbPerDay!.value).toBeCloseTo(-0.1, 4);
  expect(fit.amplitudeDb.value).toBeCloseTo(-0.475, 3);
  expect(Math.abs(fit.onsetMs.value - 3.25 * DAY_MS)).toBeLessThan(HOUR_MS);
});

test('a clean step gives its onset and size back, and no slope', () => {
  const fit = fitTrace(
    trace(16, (day) => (day < 3.25 ? 0 : 0.8)),
    HOUR_MS,
  );
  expect(fit.slopeDbPerDay).toBeNull();
  expect(fit.amplitudeDb.value).toBeCloseTo(0.8, 4);
  expect(Math.abs(fit.onsetMs.value - 3.25 * DAY_MS)).toBeLessThan(HOUR_MS);
});

test('four of five intervals hold the truth when all points share an error', () => {
  const next = normalNoise(9);
  const held = { onset: 0, size: 0, slope: 0 };
  const runs = 300;
  for (let run = 0; run < runs; run++) {
    const offset = 0.02 * next();
    const onset = 3 + (run % 10) / 10;
    const points = trace(14, (day) => -0.1 * Math.max(0, day - onset), 0.02).map((point) => ({
      ...point,
      db: point.db + offset + 0.02 * next(),
    }));
    const fit = fitTrace(points, HOUR_MS / 4, 0.02);
    const holds = (interval: { low: number; high: number } | null, truth: number) =>
      interval !== null && interval.low <= truth && truth <= interval.high ? 1 : 0;
    held.onset += holds(fit.onsetMs, onset * DAY_MS);
    held.size += holds(fit.amplitudeDb, -0.1 * (7 - onset));
    held.slope += holds(fit.slopeDbPerDay, -0.1);
  }
  for (const count of Object.values(held)) {
    expect(count / runs).toBeGreaterThan(0.72);
    expect(count / runs).toBeLessThan(0.9);
  }
});

test('an empty trace is refused', () => {
  expect(() => fitTrace([], HOUR_MS)).toThrow('the trace is empty');
});
