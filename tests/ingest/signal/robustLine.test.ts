import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { robustLine } from '../../../ingest/signal/robustLine.ts';

const freqMhz = Array.from({ length: 135 }, (_, i) => 57 + 6 * i);
const MIDDLE_MHZ = (freqMhz[0]! + freqMhz.at(-1)!) / 2;
const SPAN_MHZ = freqMhz.at(-1)! - freqMhz[0]!;

function straight(levelDbmv: number, tiltDb: number): number[] {
  return freqMhz.map((mhz) => levelDbmv + (tiltDb * (mhz - MIDDLE_MHZ)) / SPAN_MHZ);
}

/** Repeatable normal noise, unit variance: Park and Miller's generator, Box and Muller's transform. */
function noise(seed: number): () => number {
  let state = seed;
  const uniform = (): number => {
    state = (state * 48271) % 2147483647;
    return state / 2147483647;
  };
  return () => Math.sqrt(-2 * Math.log(uniform())) * Math.cos(2 * Math.PI * uniform());
}

function noisy(levelDbmv: number, tiltDb: number, seed: number): number[] {
  const next = noise(seed);
  return straight(levelDbmv, tiltDb).map((value) => value + 0.5 * next());
}

describe('robustLine', () => {
  test('returns the level at mid band, the tilt over the band and zero residuals of a straight sweep', () => {
    const fit = robustLine(freqMhz, straight(20, -4))!;
    expect(fit.levelDbmv).toBeCloseTo(20, 9);
    expect(fit.tiltDb).toBeCloseTo(-4, 9);
    for (const residual of fit.residualDb) expect(residual).toBeCloseTo(0, 9);
  });

  test('is not bent by a lost channel 40 dB down at either end', () => {
    for (const lost of [0, 134]) {
      const values = noisy(20, 2, 11);
      const whole = robustLine(freqMhz, values)!;
      values[lost] = values[lost]! - 40;
      const fit = robustLine(freqMhz, values)!;
      expect(Math.abs(fit.tiltDb - whole.tiltDb)).toBeLessThan(0.1);
      expect(Math.abs(fit.levelDbmv - whole.levelDbmv)).toBeLessThan(0.03);
      expect(fit.residualDb[lost]).toBeLessThan(-38);
    }
  });

  test('is not bent by a notch over fourteen channels at the top', () => {
    const values = noisy(20, 2, 12);
    const whole = robustLine(freqMhz, values)!;
    for (let i = 118; i < 132; i++) values[i] = values[i]! - 8;
    const fit = robustLine(freqMhz, values)!;
    expect(Math.abs(fit.tiltDb - whole.tiltDb)).toBeLessThan(0.3);
    expect(Math.abs(fit.levelDbmv - whole.levelDbmv)).toBeLessThan(0.1);
  });

  test('takes out the planned difference between analogue and digital carriers', () => {
    const group = freqMhz.map((_, i) => (i < 50 ? 'analogue' : 'qam256'));
    const values = noisy(20, 3, 13).map((value, i) => (i < 50 ? value + 6 : value));
    const fit = robustLine(freqMhz, values, { group })!;
    expect(fit.groupOffsetDb.get('analogue')).toBeGreaterThan(5.4);
    expect(fit.groupOffsetDb.get('analogue')).toBeLessThan(6.6);
    expect(Math.abs(fit.tiltDb - 3)).toBeLessThan(0.7);
    expect(Math.abs(fit.levelDbmv - 20)).toBeLessThan(0.3);
  });

  test('keeps tilt and moves level when every value moves alike', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 1e6 }),
        fc.double({ min: -40, max: 40, noNaN: true }),
        (seed, shift) => {
          const values = noisy(5, -6, seed);
          const before = robustLine(freqMhz, values)!;
          const after = robustLine(
            freqMhz,
            values.map((value) => value + shift),
          )!;
          expect(after.tiltDb).toBeCloseTo(before.tiltDb, 6);
          expect(after.levelDbmv).toBeCloseTo(before.levelDbmv + shift, 6);
        },
      ),
      { numRuns: 100 },
    );
  });
});
