import { expect, test } from 'vitest';
import { DB_PER_AMPLITUDE, shapeDb } from '../../../../api/trend/channels/shapeValues.ts';
import { echoRippleDb } from '../../../../ingest/signal/echoRippleDb.ts';

/** An echo's ripple at so many phases of a turn. */
function turn(amplitudeDb: number): number[] {
  return Array.from({ length: 3600 }, (_, i) =>
    shapeDb('ripple', amplitudeDb, Math.cos((2 * Math.PI * i) / 3600)),
  );
}

// ∫ log|1 + r·e^iθ| dθ over a turn is 0 for r < 1 (Jensen's formula); its first Fourier coefficient is r, its second −r²/2.
test.each([0.1, 0.6, 2.9])(
  'an echo with a first cosine of %s dB swings about nothing, by what its strength gives',
  (amplitudeDb) => {
    const values = turn(amplitudeDb);
    const r = amplitudeDb / DB_PER_AMPLITUDE;
    const harmonic = (k: number) =>
      (2 / values.length) *
      values.reduce((sum, value, i) => sum + value * Math.cos((2 * Math.PI * k * i) / 3600), 0);
    expect(harmonic(0)).toBeCloseTo(0, 9);
    expect(harmonic(1)).toBeCloseTo(amplitudeDb, 9);
    expect(harmonic(2)).toBeCloseTo(-(DB_PER_AMPLITUDE * r * r) / 2, 9);
    expect(Math.max(...values) - Math.min(...values)).toBeCloseTo(echoRippleDb(20 * Math.log10(r)), 6);
  },
);

test('turned about, its troughs are where its crests were', () => {
  expect(shapeDb('ripple', -1, 0.3)).toBeCloseTo(shapeDb('ripple', 1, -0.3), 12);
});

test('what is no echo grows with its amplitude', () => {
  expect(shapeDb('notch', -3, 0.5)).toBe(-1.5);
});
