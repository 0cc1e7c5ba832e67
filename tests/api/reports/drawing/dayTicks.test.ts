import { expect, test } from 'vitest';
import { dayTicks } from '../../../../api/reports/drawing/dayTicks.ts';

test('days begin at midnight of the zone, on both sides of a change of clocks', () => {
  const ticks = dayTicks(
    Date.parse('2026-10-31T12:00:00Z'),
    Date.parse('2026-11-04T12:00:00Z'),
    'America/Chicago',
  );
  expect(ticks.map(({ at, text }) => [new Date(at).toISOString(), text])).toEqual([
    ['2026-11-01T05:00:00.000Z', '1 Nov'],
    ['2026-11-02T06:00:00.000Z', '2 Nov'],
    ['2026-11-03T06:00:00.000Z', '3 Nov'],
    ['2026-11-04T06:00:00.000Z', '4 Nov'],
  ]);
});

test('a year has no more ticks than fit', () => {
  const ticks = dayTicks(Date.parse('2025-11-26T00:00:00Z'), Date.parse('2026-11-26T00:00:00Z'), 'UTC');
  expect(ticks.length).toBeGreaterThan(4);
  expect(ticks.length).toBeLessThanOrEqual(10);
});
