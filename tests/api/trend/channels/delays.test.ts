import { expect, test } from 'vitest';
import { HOUR_MS } from '../../../../api/trend/types.ts';
import { uniformStream } from '../../../../seed/simulator/random.ts';
import { quantile } from '../../../support/quantile.ts';
import { addEcho, addNotch, type RestScenario, raster, START_MS } from './simulateRests.ts';
import { watch } from './watch.ts';

const ONSET_DAY = 10;

interface Case {
  readonly kind: 'notch' | 'ripple';
  readonly days: number;
  /** Changes the levels `days` after the onset; places and widths are drawn. */
  readonly change: (
    uniform: () => number,
  ) => (db: Float64Array, freqMhz: readonly number[], days: number) => void;
}

/** Hours from the onset until the first conclusion of the right kind, one a seed; infinite where there was none. */
function delaysH(seeds: number, { kind, days, change }: Case): number[] {
  return Array.from({ length: seeds }, (_, i) => {
    const uniform = uniformStream(40 + i);
    const onset = ONSET_DAY + uniform();
    const add = change(uniform);
    const level: RestScenario['level'] = (db, freqMhz, day) => {
      if (day > onset) add(db, freqMhz, day - onset);
    };
    const { first } = watch({ seed: 700 + i, days: onset + days, level });
    const found = first[0]?.shape.kind === kind ? (first[0].detectedMs - START_MS) / HOUR_MS : null;
    return found === null ? Number.POSITIVE_INFINITY : found - 24 * onset;
  });
}

const growing = (dbPerDay: number, days: number): Case => ({
  kind: 'notch',
  days,
  change: (uniform) => {
    const centreMhz = 80 + 430 * uniform();
    const widthMhz = 8 + 72 * uniform();
    return (db, freqMhz, since) => addNotch(centreMhz, widthMhz, -dbPerDay * since)(db, freqMhz);
  },
});

// Ideal: a watcher who knows place, width and rate finds these 45, 28 and 12 h after the onset. Twelve seeds each.
test.each([
  [0.05, 8, 100],
  [0.1, 5, 60],
  [0.3, 3, 32],
])(
  'a suck-out growing %f dB a day is found within hours of the ideal',
  { timeout: 30_000 },
  (dbPerDay, days, mostH) => {
    const delays = delaysH(12, growing(dbPerDay, days));
    expect(Math.min(...delays)).toBeGreaterThan(0);
    expect(quantile(delays, 0.5)!).toBeLessThan(mostH);
    expect(quantile(delays, 0.9)!).toBeLessThan(2 * mostH);
  },
);

test('the ripple of an echo is found within 45 minutes', { timeout: 30_000 }, () => {
  const delays = delaysH(16, {
    kind: 'ripple',
    days: 0.3,
    change: (uniform) => {
      const add = addEcho(8 + 70 * uniform(), 0.3 + 0.9 * uniform());
      return (db, freqMhz) => add(db, freqMhz);
    },
  });
  expect(quantile(delays, 0.5)!).toBeLessThan(0.75);
  expect(quantile(delays, 0.9)!).toBeLessThan(1.5);
});

test('a quiet point-year of unlike grids and meters raises nothing', { timeout: 30_000 }, () => {
  const grids = [raster(80, 6), raster(135, 6), raster(40, 12), raster(80, 10)];
  grids.forEach((freqMhz, i) => {
    const levelNoiseDb = [0.2, 0.1, 0.35, 0.5][i]!;
    expect(watch({ seed: 900 + i, days: 92, freqMhz, levelNoiseDb, leftoverDb: 0.1 }).told).toBe(0);
  });
});
