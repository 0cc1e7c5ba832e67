import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { createSchedule, type ScheduleRule } from '../../../ingest/schedule/schedule.ts';
import { stableShare } from '../../../ingest/schedule/stableShare.ts';
import { zonedToUtcMs, zoneOffsetMs } from '../../../ingest/schedule/zoneOffset.ts';

const MINUTE = 60_000;
const HOUR = 60 * MINUTE;
const at = (text: string) => Date.parse(text);

function times(
  rule: ScheduleRule,
  zone: string,
  from: string,
  count: number,
  place = 0,
  spread = 0.25,
): string[] {
  const schedule = createSchedule({ rule, zone, place, spread });
  const found: string[] = [];
  for (let ms = schedule.next(at(from)); ms !== null && found.length < count; ms = schedule.next(ms)) {
    found.push(new Date(ms).toISOString());
  }
  return found;
}
const every = (intervalMs: number): ScheduleRule => ({ kind: 'every', intervalMs });
const cron = (expression: string): ScheduleRule => ({ kind: 'cron', expression });

test('an interval falls on round times of the zone’s clock, also where the zone is half an hour off', () => {
  expect(times(every(15 * MINUTE), 'UTC', '2026-03-01T12:01:00Z', 2)).toEqual([
    '2026-03-01T12:15:00.000Z',
    '2026-03-01T12:30:00.000Z',
  ]);
  expect(times(every(HOUR), 'Asia/Kolkata', '2026-03-01T12:01:00Z', 1)).toEqual(['2026-03-01T12:30:00.000Z']);
});

test('six-hourly readings stay at six o’clock when the clocks change', () => {
  // Berlin goes from +1 to +2 on 2026-03-29 at 01:00 UTC, and back on 2026-10-25 at 01:00 UTC.
  expect(times(every(6 * HOUR), 'Europe/Berlin', '2026-03-28T18:00:00Z', 3)).toEqual([
    '2026-03-28T23:00:00.000Z',
    '2026-03-29T04:00:00.000Z',
    '2026-03-29T10:00:00.000Z',
  ]);
  expect(times(every(6 * HOUR), 'Europe/Berlin', '2026-10-24T18:00:00Z', 2)).toEqual([
    '2026-10-24T22:00:00.000Z',
    '2026-10-25T05:00:00.000Z',
  ]);
});

test('a cron expression counts by the zone’s clock', () => {
  expect(times(cron('30 6 * * *'), 'Europe/Berlin', '2026-03-28T00:00:00Z', 2)).toEqual([
    '2026-03-28T05:30:00.000Z',
    '2026-03-29T04:30:00.000Z',
  ]);
});

test('a probe is put back by its place within a share of the gap, five minutes at most', () => {
  expect(times(every(15 * MINUTE), 'UTC', '2026-03-01T12:01:00Z', 1, 0.5)).toEqual([
    '2026-03-01T12:01:52.500Z',
  ]);
  expect(times(cron('0 6 * * *'), 'UTC', '2026-03-01T12:00:00Z', 1, 0.9)).toEqual([
    '2026-03-02T06:04:30.000Z',
  ]);
});

test('whatever the interval, place and zone, times rise, never twice in one interval, for years', () => {
  const zones = ['UTC', 'America/Chicago', 'Europe/Berlin', 'Australia/Lord_Howe', 'Asia/Kathmandu'];
  fc.assert(
    fc.property(
      fc.constantFrom(30_000, MINUTE, 5 * MINUTE, 15 * MINUTE, 20 * MINUTE, HOUR, 6 * HOUR, 24 * HOUR),
      fc.constantFrom(...zones),
      fc.double({ min: 0, max: 0.999, noNaN: true }),
      fc.double({ min: 0, max: 0.5, noNaN: true }),
      fc.integer({ min: at('2024-01-01T00:00:00Z'), max: at('2030-01-01T00:00:00Z') }),
      (intervalMs, zone, place, spread, fromMs) => {
        const schedule = createSchedule({ rule: every(intervalMs), zone, place, spread });
        let lastMs = schedule.next(fromMs)!;
        expect(lastMs).toBeGreaterThan(fromMs);
        expect(lastMs - fromMs).toBeLessThanOrEqual(intervalMs + HOUR);
        for (let i = 0; i < 4; i++) {
          const nextMs = schedule.next(lastMs)!;
          expect(nextMs).toBeGreaterThan(lastMs);
          // A change of the clocks may bring it an hour nearer or farther.
          expect(Math.abs(nextMs - lastMs - intervalMs)).toBeLessThanOrEqual(HOUR);
          lastMs = nextMs;
        }
      },
    ),
    { numRuns: 150 },
  );
});

test('asking between two times gives the same next time as asking at the one before', () => {
  fc.assert(
    fc.property(
      fc.double({ min: 0, max: 0.999, noNaN: true }),
      fc.integer({ min: 1, max: 899_999 }),
      (place, stepMs) => {
        const schedule = createSchedule({
          rule: cron('*/15 * * * *'),
          zone: 'Europe/Berlin',
          place,
          spread: 0.25,
        });
        const first = schedule.next(at('2026-06-01T00:00:00Z'))!;
        expect(schedule.next(first + stepMs - 1)).toBe(schedule.next(first));
      },
    ),
    { numRuns: 50 },
  );
});

describe('the place of a probe', () => {
  test('is the same at every start', () => {
    expect(stableShare('riser-12', 'handoff')).toBe(stableShare('riser-12', 'handoff'));
    expect(stableShare('riser-12', 'handoff')).not.toBe(stableShare('riser-1', '2handoff'));
  });

  test('spreads 10,000 probes evenly over ten tenths', () => {
    const tenths = new Array<number>(10).fill(0);
    for (let i = 0; i < 10_000; i++) tenths[Math.floor(10 * stableShare(`agent ${i}`, 'handoff'))]! += 1;
    // Five standard deviations of a fair spread are 150.
    for (const probes of tenths) expect(Math.abs(probes - 1_000)).toBeLessThan(150);
  });
});

test('a local time becomes the moment at which the zone’s clock shows it', () => {
  expect(zonedToUtcMs('Europe/Berlin', at('2026-07-01T12:00:00Z'))).toBe(at('2026-07-01T10:00:00Z'));
  // The hour that comes twice, 02:30 on 2026-10-25, is taken as the first.
  expect(zonedToUtcMs('Europe/Berlin', at('2026-10-25T02:30:00Z'))).toBe(at('2026-10-25T00:30:00Z'));
  // 02:30 on 2026-03-29 is never shown.
  expect(zonedToUtcMs('Europe/Berlin', at('2026-03-29T02:30:00Z'))).toBe(at('2026-03-29T01:30:00Z'));
  fc.assert(
    fc.property(
      fc.constantFrom('America/Chicago', 'Europe/Berlin', 'Asia/Kathmandu', 'Pacific/Auckland'),
      fc.integer({ min: at('2020-01-01T00:00:00Z') / 1000, max: at('2035-01-01T00:00:00Z') / 1000 }),
      (zone, seconds) => {
        const localMs = seconds * 1000 + zoneOffsetMs(zone, seconds * 1000);
        const backMs = zonedToUtcMs(zone, localMs);
        expect(backMs + zoneOffsetMs(zone, backMs)).toBe(localMs);
        expect(seconds * 1000 - backMs).toBeOneOf([0, HOUR]);
      },
    ),
  );
});
