import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { leastSquares } from '../../../ingest/signal/leastSquares.ts';
import { type RobustLineOptions, robustLine } from '../../../ingest/signal/robustLine.ts';

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

const RUNS = 300;

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

  const wrongDb = fc.oneof(
    fc.double({ min: -60, max: -6, noNaN: true }),
    fc.double({ min: 6, max: 60, noNaN: true }),
  );
  const seeds = fc.integer({ min: 1, max: 1e6 });

  function expectHardlyBent(
    seed: number,
    wrong: ReadonlySet<number>,
    awayDb: number,
    options: RobustLineOptions = {},
  ): void {
    const values = noisy(10, 4, seed);
    const without = values.map((value, i) => (wrong.has(i) ? null : value));
    const withThem = values.map((value, i) => (wrong.has(i) ? value + awayDb : value));
    const rest = robustLine(freqMhz, without, options)!;
    const fit = robustLine(freqMhz, withThem, options)!;
    expect(Math.abs(fit.tiltDb - rest.tiltDb)).toBeLessThan(0.5);
    expect(Math.abs(fit.levelDbmv - rest.levelDbmv)).toBeLessThan(0.15);
  }

  test('moves less than 0.5 dB in tilt and 0.15 dB in level when a quarter at random is wrong by 6 dB or more', () => {
    const quarter = fc.uniqueArray(fc.nat(134), { minLength: 33, maxLength: 33 });
    fc.assert(
      fc.property(seeds, quarter, wrongDb, (seed, wrong, awayDb) => {
        expectHardlyBent(seed, new Set(wrong), awayDb);
      }),
      { numRuns: RUNS },
    );
  });

  test('moves as little when a stretch of a fifth of the band is wrong', () => {
    fc.assert(
      fc.property(seeds, fc.nat(108), wrongDb, (seed, start, awayDb) => {
        expectHardlyBent(seed, new Set(Array.from({ length: 27 }, (_, i) => start + i)), awayDb);
      }),
      { numRuns: RUNS },
    );
  });

  test('moves as little when a stretch of a quarter of the band is 12 dB down or more, with groups or without', () => {
    const group = freqMhz.map((_, i) => (i < 48 ? 'analogue' : 'qam256'));
    const deepDb = fc.double({ min: -60, max: -12, noNaN: true });
    fc.assert(
      fc.property(seeds, fc.nat(102), deepDb, fc.boolean(), (seed, start, awayDb, grouped) => {
        const stretch = new Set(Array.from({ length: 33 }, (_, i) => start + i));
        expectHardlyBent(seed, stretch, awayDb, grouped ? { group } : {});
      }),
      { numRuns: RUNS },
    );
  });

  test('moves as little when a fifth is wrong and placed where it hurts most, every second carrier of a stretch', () => {
    fc.assert(
      fc.property(seeds, fc.nat(82), wrongDb, (seed, start, awayDb) => {
        expectHardlyBent(seed, new Set(Array.from({ length: 27 }, (_, i) => start + 2 * i)), awayDb);
      }),
      { numRuns: RUNS },
    );
  });

  test('holds where an ordinary least-squares line moves by decibels', () => {
    const values = noisy(20, 2, 12);
    for (let i = 118; i < 132; i++) values[i] = values[i]! - 8;
    const [, slope] = leastSquares([freqMhz.map(() => 1), freqMhz], values) as [number, number];
    expect(Math.abs(slope * SPAN_MHZ - 2)).toBeGreaterThan(2);
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

  test('adds a further tilt to the tilt and leaves the residuals, within a hundredth of a dB', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 1e6 }),
        fc.double({ min: -20, max: 20, noNaN: true }),
        (seed, tiltDb) => {
          const values = noisy(5, 0, seed);
          const added = straight(0, tiltDb);
          const before = robustLine(freqMhz, values)!;
          const after = robustLine(
            freqMhz,
            values.map((value, i) => value + added[i]!),
          )!;
          expect(Math.abs(after.tiltDb - before.tiltDb - tiltDb)).toBeLessThan(0.01);
          expect(Math.abs(after.residualDb[40]! - before.residualDb[40]!)).toBeLessThan(0.01);
        },
      ),
      { numRuns: 100 },
    );
  });

  test('does not see by how much a whole group is shifted, but for the offset', () => {
    const group = freqMhz.map((_, i) => (i % 3 === 0 ? 1 : 0));
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 1e6 }),
        fc.double({ min: -30, max: 30, noNaN: true }),
        (seed, shift) => {
          const values = noisy(5, 3, seed);
          const before = robustLine(freqMhz, values, { group })!;
          const after = robustLine(
            freqMhz,
            values.map((value, i) => value + shift * group[i]!),
            { group },
          )!;
          expect(after.tiltDb).toBeCloseTo(before.tiltDb, 6);
          expect(after.levelDbmv).toBeCloseTo(before.levelDbmv, 6);
          expect(after.groupOffsetDb.get(1)!).toBeCloseTo(before.groupOffsetDb.get(1)! + shift, 6);
        },
      ),
      { numRuns: 100 },
    );
  });

  test('refers the level to the group with most carriers given, or to the one asked for', () => {
    const group = freqMhz.map((_, i) => (i < 60 ? 'analogue' : 'qam256'));
    const values = straight(20, 0).map((value, i) => (i < 60 ? value + 6 : value));
    expect(robustLine(freqMhz, values, { group })!.levelDbmv).toBeCloseTo(20, 9);
    expect(robustLine(freqMhz, values, { group, referenceGroup: 'analogue' })!.levelDbmv).toBeCloseTo(26, 9);

    const mostLost = values.map((value, i) => (i >= 100 ? null : value));
    expect(robustLine(freqMhz, mostLost, { group })!.levelDbmv).toBeCloseTo(20, 9);
    const allLost = values.map((value, i) => (i >= 60 ? null : value));
    expect(robustLine(freqMhz, allLost, { group })!.levelDbmv).toBeCloseTo(26, 9);
  });

  test('means the same tilt by a band of its own, whichever carriers are there', () => {
    const values = straight(20, -4);
    const band = { lowMhz: 54, highMhz: 864 };
    const whole = robustLine(freqMhz, values, band)!;
    const shorter = robustLine(freqMhz.slice(3, -5), values.slice(3, -5), band)!;
    expect(whole.tiltDb).toBeCloseTo((-4 * 810) / SPAN_MHZ, 9);
    expect(shorter.tiltDb).toBeCloseTo(whole.tiltDb, 9);
    expect(shorter.levelDbmv).toBeCloseTo(whole.levelDbmv, 9);
  });

  test('keeps the band of the carriers given when those at its ends were not measured', () => {
    const values: (number | null)[] = straight(20, -4);
    values[0] = null;
    values[134] = null;
    const fit = robustLine(freqMhz, values)!;
    expect(fit.tiltDb).toBeCloseTo(-4, 9);
    expect([fit.residualDb[0], fit.residualDb[134]]).toEqual([null, null]);
  });

  test('fits three carriers from a hand-held meter', () => {
    const fit = robustLine([57, 405, 753], [20, 19, 18])!;
    expect(fit.tiltDb).toBeCloseTo(-2, 9);
    expect(fit.levelDbmv).toBeCloseTo(19, 9);
  });

  test('serves a very long sweep and a short one after it', () => {
    const long = Array.from({ length: 700 }, (_, i) => 50 + i);
    expect(
      robustLine(
        long,
        long.map((mhz) => mhz / 100),
      )!.tiltDb,
    ).toBeCloseTo(6.99, 9);
    expect(robustLine([57, 63, 69], [1, 1, 1])!.tiltDb).toBeCloseTo(0, 9);
  });

  test('has no answer from fewer than three values or from groups of one carrier each', () => {
    expect(robustLine([], [])).toBeNull();
    expect(robustLine([57, 63, 69], [20, null, 20])).toBeNull();
    expect(robustLine([57, 63, 69], [20, 20, 20], { group: ['a', 'b', 'c'] })).toBeNull();
  });

  test('refuses arrays that do not fit, frequencies that do not rise, and NaN', () => {
    expect(() => robustLine([57, 63], [20])).toThrow('2 frequencies but 1 values');
    expect(() => robustLine([57, 57], [20, 20])).toThrow('frequencies must rise: 57 MHz follows 57 MHz');
    expect(() => robustLine([57, 63], [20, Number.NaN])).toThrow('value 1 is NaN; use null');
    expect(() => robustLine([57, 63], [20, 20], { group: ['a'] })).toThrow(
      'group has 1 entries for 2 carriers',
    );
  });
});
