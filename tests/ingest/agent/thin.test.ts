import fc from 'fast-check';
import { expect, test } from 'vitest';
import { sweepsToThin, type WaitingSweep } from '../../../ingest/agent/spool/thin.ts';

const HOUR = 3_600_000;
const DAY = 24 * HOUR;
const START = Date.parse('2026-03-01T00:00:00Z');

/** Ten days of quarter hours at one point, 100 bytes each. */
const tenDays = Array.from(
  { length: 960 },
  (_, i): WaitingSweep => ({
    id: i + 1,
    point: 'handoff',
    instrument: 'probe-7',
    atMs: START + i * 15 * 60_000,
    bytes: 100,
  }),
);
const ageDays = ({ atMs }: WaitingSweep) => (tenDays.at(-1)!.atMs - atMs) / DAY;
const kept = (bytes: number) => {
  const dropped = sweepsToThin(tenDays, bytes);
  const ids = new Set(dropped.map(({ sweep }) => sweep.id));
  return { dropped, left: tenDays.filter(({ id }) => !ids.has(id)) };
};

test('no more is dropped than is asked for, the oldest detail first', () => {
  const { dropped } = kept(300);
  expect(dropped.map(({ sweep, to }) => [sweep.id, to])).toEqual([
    [2, 'one an hour'],
    [3, 'one an hour'],
    [4, 'one an hour'],
  ]);
});

test('old days keep one sweep of each hour before any gives more; the newest two days stay whole', () => {
  const { dropped, left } = kept(8 * 24 * 3 * 100 - 1_000);
  expect(dropped.every(({ to }) => to === 'one an hour')).toBe(true);
  expect(dropped.every(({ sweep }) => ageDays(sweep) > 2)).toBe(true);
  const hours = new Set(left.map(({ atMs }) => Math.floor(atMs / HOUR)));
  expect(hours.size).toBe(240);
});

test('then old days keep one sweep each, the newest two days still whole', () => {
  const { dropped, left } = kept(8 * 24 * 3 * 100 + 7 * 23 * 100);
  expect(dropped.some(({ to }) => to === 'one a day')).toBe(true);
  expect(dropped.every(({ sweep }) => ageDays(sweep) > 2)).toBe(true);
  expect(left.filter((sweep) => ageDays(sweep) <= 2)).toHaveLength(193);
  expect(new Set(left.map(({ atMs }) => Math.floor(atMs / DAY))).size).toBe(10);
});

test('at the very last sweeps go altogether, and that is said', () => {
  const { dropped, left } = kept(955 * 100);
  expect(left).toHaveLength(5);
  expect(dropped.filter(({ to }) => to === 'nothing')).toHaveLength(5);
  expect(Math.min(...left.map(({ atMs }) => atMs))).toBeGreaterThan(START + 4 * DAY);
});

test('points and instruments are thinned each for itself', () => {
  const both = [...tenDays, ...tenDays.map((sweep) => ({ ...sweep, id: sweep.id + 1_000, point: 'outlet' }))];
  const dropped = new Set(sweepsToThin(both, (16 * 24 * 3 - 2) * 100).map(({ sweep }) => sweep.id));
  for (const point of ['handoff', 'outlet']) {
    const left = both.filter((sweep) => sweep.point === point && !dropped.has(sweep.id));
    expect(new Set(left.map(({ atMs }) => Math.floor(atMs / HOUR))).size).toBe(240);
  }
});

test('whatever waits, enough comes free and nothing is dropped twice', () => {
  const waiting = fc.uniqueArray(
    fc.record({
      id: fc.integer({ min: 1, max: 10_000 }),
      point: fc.constantFrom('handoff', 'outlet'),
      instrument: fc.constantFrom('a', 'b'),
      atMs: fc.integer({ min: START, max: START + 30 * DAY }),
      bytes: fc.integer({ min: 1, max: 5_000 }),
    }),
    { selector: ({ id }) => id, maxLength: 200 },
  );
  fc.assert(
    fc.property(waiting, fc.double({ min: 0, max: 1, noNaN: true }), (sweeps, share) => {
      const total = sweeps.reduce((sum, { bytes }) => sum + bytes, 0);
      const dropped = sweepsToThin(sweeps, share * total);
      const freed = dropped.reduce((sum, { sweep }) => sum + sweep.bytes, 0);
      expect(freed).toBeGreaterThanOrEqual(share * total);
      expect(new Set(dropped.map(({ sweep }) => sweep.id)).size).toBe(dropped.length);
    }),
  );
});
