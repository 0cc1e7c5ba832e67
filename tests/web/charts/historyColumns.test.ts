import { expect, test } from 'vitest';
import type { HistoryView } from '../../../api/schemas/site.ts';
import { baselineSteps, historyRange, withGaps } from '../../../web/charts/historyColumns.ts';
import { timeTicks } from '../../../web/charts/timeTicks.ts';

const history = (
  level: (number | null)[],
  limits: { min: number | null; max: number | null },
): HistoryView => ({
  pointId: 1,
  resolution: 'hour',
  times: level.map((_, i) => i * 3600),
  levelDbmv: level,
  tiltDb: [],
  flatnessDb: [],
  merMarginDb: [],
  ambientC: [],
  maintenance: [],
  baselines: [
    {
      version: 1,
      effectiveFrom: '1970-01-01T00:00:00Z',
      levelDbmv: 20,
      tiltDb: 0,
      flatnessDb: 1,
      merMarginDb: null,
    },
  ],
  limits: {
    level: { ...limits, target: null },
    tilt: { min: null, target: null, max: null },
    flatness: { min: null, target: null, max: null },
    merMargin: { min: null, target: null, max: null },
  },
  findings: [],
  events: [],
});

test('a hole wider than three steps breaks the line, and a single missing sweep does not', () => {
  const { times, columns } = withGaps([0, 1, 2, 4, 5, 20, 21], [[1, 1, 1, 2, 2, 3, 3]]);
  expect(times).toEqual([0, 1, 2, 4, 5, 6, 20, 21]);
  expect(columns[0]).toEqual([1, 1, 1, 2, 2, null, 3, 3]);
});

test('the axis holds readings, baseline and limits within reach', () => {
  const [low, high] = historyRange(history([18, 19, null], { min: 16, max: 40 }), 'level');
  expect(low).toBeLessThan(16);
  expect(high).toBeGreaterThan(20);
  expect(high).toBeLessThan(25);
});

test('a baseline that never had a MER draws no line there', () => {
  expect(baselineSteps(history([20], { min: null, max: null }), 'mer')).toEqual([]);
  expect(baselineSteps(history([20], { min: null, max: null }), 'level')).toEqual([{ fromS: 0, value: 20 }]);
});

test('ticks show the clock of the site, and the day where it changes', () => {
  const ticks = ['2026-01-15T04:00:00Z', '2026-01-15T06:00:00Z', '2026-01-15T08:00:00Z'].map(
    (at) => Date.parse(at) / 1000,
  );
  expect(timeTicks(ticks, 7200, 'America/Chicago')).toEqual(['22:00\n14 Jan', '00:00\n15 Jan', '02:00']);
  expect(timeTicks(ticks.slice(0, 1), 86_400, 'America/Chicago')).toEqual(['14 Jan']);
});

test('one wild value alone does not stretch the axis; two in a row and the newest one do', () => {
  const top = (levels: (number | null)[]) =>
    historyRange(history(levels, { min: null, max: null }), 'level')[1];
  expect(top([18, 19, 60, 18, 19])).toBeLessThan(21);
  expect(top([18, 60, 61, 18, 19])).toBeGreaterThan(60);
  expect(top([18, 19, 18, 60])).toBeGreaterThan(60);
});
