import { describe, expect, test } from 'vitest';
import { judgePoint } from '../../../api/punctuality/judgePoint.ts';
import type { PointReadings } from '../../../api/punctuality/types.ts';
import { normalNoise } from '../trend/noise.ts';
import { givenAbsent, givenReadings, givenSweeps, HOUR, MINUTE, NOW } from './givenReadings.ts';

const kindsOf = (readings: PointReadings, windows: { fromMs: number; toMs: number }[] = [], nowMs = NOW) =>
  judgePoint(readings, windows, nowMs).map(({ kind }) => kind);

test('a point whose sweeps come as they should has no trouble', () => {
  expect(kindsOf(givenReadings())).toEqual([]);
  expect(kindsOf(givenReadings({ sweeps: [], lastMs: null }))).toEqual([]);
});

test('a point has no trouble while people work on the plant, whatever its sweeps looked like before', () => {
  const sweeps = givenSweeps(() => ({ repeats: true, channels: 30 }));
  expect(kindsOf(givenReadings({ sweeps }))).toEqual(['frozen', 'partial']);
  const window = { fromMs: NOW - MINUTE, toMs: NOW + MINUTE };
  expect(kindsOf(givenReadings({ sweeps }), [window])).toEqual([]);
});

describe('a sweep that is due', () => {
  test('is late once two are missing and absent once three are, at a point that never missed one', () => {
    expect(kindsOf(givenAbsent(29 * MINUTE))).toEqual([]);
    expect(kindsOf(givenAbsent(31 * MINUTE))).toEqual(['late']);
    expect(kindsOf(givenAbsent(44 * MINUTE))).toEqual(['late']);
    expect(kindsOf(givenAbsent(46 * MINUTE))).toEqual(['absent']);
  });

  test('may stay away for longer at a point that often misses some', () => {
    const sweeps = givenSweeps((age) => ({ atMs: NOW - 46 * MINUTE - Math.floor(age * 1.5) * 15 * MINUTE }));
    expect(kindsOf(givenReadings({ sweeps }))).toEqual([]);
    expect(kindsOf(givenReadings({ sweeps }), [], NOW + 2 * HOUR)).toEqual(['late']);
    expect(kindsOf(givenReadings({ sweeps }), [], NOW + 4 * HOUR)).toEqual(['absent']);
  });

  test('is waited for at the pace that the point keeps, where that is slower than set', () => {
    const sweeps = givenSweeps((age) => ({ atMs: NOW - age * HOUR }));
    const readings = givenReadings({ sweeps });
    expect(kindsOf(readings, [], NOW + 2.5 * HOUR)).toEqual(['off-schedule', 'late']);
    expect(kindsOf(readings, [], NOW + 3.1 * HOUR)).toEqual(['absent']);
  });

  test('is told with the last sweep, when the next was due, and how many have not come', () => {
    const [trouble] = judgePoint(givenAbsent(3 * HOUR + MINUTE), [], NOW);
    expect(trouble).toEqual({
      kind: 'absent',
      sinceMs: NOW - 3 * HOUR - MINUTE,
      dueMs: NOW - 3 * HOUR + 14 * MINUTE,
      missed: 12,
    });
  });

  test('is not due while people work on the plant, and counts anew from the end of the work', () => {
    const silent = givenAbsent(3 * HOUR);
    const during = { fromMs: NOW - 3 * HOUR + MINUTE, toMs: NOW + MINUTE };
    expect(kindsOf(silent, [during])).toEqual([]);
    expect(kindsOf(silent, [{ ...during, toMs: NOW - 20 * MINUTE }])).toEqual([]);
    expect(kindsOf(silent, [{ ...during, toMs: NOW - 46 * MINUTE }])).toEqual(['absent']);
    expect(kindsOf(silent, [{ fromMs: NOW + HOUR, toMs: NOW + 2 * HOUR }])).toEqual(['absent']);
  });

  test('comes by chance only, however the point misses some at random: no false absence in 200,000 sweeps', () => {
    const random = uniform(11);
    let absences = 0;
    let times: number[] = [];
    let nowMs = NOW;
    for (let i = 0; i < 200_000; i++) {
      nowMs += 15 * MINUTE;
      if (random() < 0.01) {
        const sweeps = givenSweeps((age) => ({ atMs: times[age] ?? 0 })).slice(0, times.length);
        if (times.length === 80 && kindsOf(givenReadings({ sweeps }), [], nowMs + MINUTE).includes('absent'))
          absences++;
        continue;
      }
      times = [nowMs, ...times.slice(0, 79)];
    }
    expect(absences).toBe(0);
  });
});

describe('partial sweeps', () => {
  const partial = (run: number, changes: Partial<PointReadings> = {}) =>
    givenReadings({ sweeps: givenSweeps((age) => (age < run ? { channels: 30 } : {})), ...changes });

  test('are told from the third on, with what is usual and since when', () => {
    expect(kindsOf(partial(2))).toEqual([]);
    expect(judgePoint(partial(3), [], NOW)).toEqual([
      {
        kind: 'partial',
        sinceMs: NOW - 35 * MINUTE,
        orEarlier: false,
        channels: 30,
        usual: 78,
      },
    ]);
  });

  test('stay told for as long as they last: the baseline says what is usual', () => {
    expect(judgePoint(partial(80), [], NOW)).toMatchObject([{ kind: 'partial', orEarlier: true }]);
  });

  test('are held against the earlier ones of the same instrument where it didn’t make the baseline', () => {
    expect(kindsOf(partial(5, { baseline: null }))).toEqual(['partial']);
    const meter = givenSweeps((age) => (age < 5 ? { channels: 30, instrument: 'meter-2' } : {}));
    expect(kindsOf(givenReadings({ sweeps: meter }))).toEqual([]);
  });
});

describe('frozen sweeps', () => {
  const frozen = (run: number, also: (age: number) => boolean = () => false) =>
    givenReadings({ sweeps: givenSweeps((age) => ({ repeats: age < run || also(age) })) });

  test('are told once they have repeated three times', () => {
    expect(kindsOf(frozen(2))).toEqual([]);
    expect(judgePoint(frozen(3), [], NOW)).toEqual([
      { kind: 'frozen', sinceMs: NOW - 50 * MINUTE, orEarlier: false, sweeps: 4 },
    ]);
  });

  test('need a longer run from a meter that often repeats by itself', () => {
    const often = (age: number) => age % 2 === 0;
    expect(kindsOf(frozen(8, often))).toEqual([]);
    expect(kindsOf(frozen(30, often))).toEqual(['frozen']);
  });

  test('say nothing of a reading of one or two channels', () => {
    const sweeps = givenSweeps(() => ({ repeats: true, channels: 2 }));
    expect(kindsOf(givenReadings({ sweeps, baseline: null }))).toEqual([]);
  });
});

describe('off-schedule sweeps', () => {
  const every = (minutes: number) =>
    givenReadings({ sweeps: givenSweeps((age) => ({ atMs: NOW - MINUTE - age * minutes * MINUTE })) });

  test.each([
    [15, []],
    [10, []],
    [24, []],
    [30, ['off-schedule']],
    [7, ['off-schedule']],
    [1, ['off-schedule']],
  ])('every %i minutes, set to 15: %j', (minutes, kinds) => {
    expect(kindsOf(every(minutes))).toEqual(kinds);
  });

  test('say how often they come', () => {
    expect(judgePoint(every(60), [], NOW)).toMatchObject([{ kind: 'off-schedule', everyS: 3600 }]);
    expect(judgePoint(every(5), [], NOW)).toMatchObject([{ kind: 'off-schedule', everyS: 300 }]);
  });

  test('are not those of a burst, nor of six jittered gaps', () => {
    const burst = givenSweeps((age) => ({
      atMs: age < 20 ? NOW - age * MINUTE : NOW - 20 * MINUTE - (age - 20) * 15 * MINUTE,
    }));
    expect(kindsOf(givenReadings({ sweeps: burst }))).toEqual([]);
    const noise = normalNoise(3);
    const jittered = givenSweeps((age) => ({ atMs: NOW - MINUTE - (age * 15 + 2 * noise()) * MINUTE }));
    jittered.sort((a, b) => b.atMs - a.atMs);
    expect(kindsOf(givenReadings({ sweeps: jittered }))).toEqual([]);
  });
});

/** Numbers from 0 up to 1, the same for the same seed (mulberry32, public domain). */
function uniform(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}
