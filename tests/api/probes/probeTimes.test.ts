import { describe, expect, test } from 'vitest';
import { longestGapS, probeTimes } from '../../../api/probes/probeTimes.ts';
import { stableShare } from '../../../ingest/schedule/stableShare.ts';

const MINUTE_MS = 60_000;
const AT_MS = Date.parse('2026-03-04T12:00:00Z');
const every = (intervalS: number) => ({ kind: 'every', intervalS }) as const;
const cron = (expression: string) => ({ kind: 'cron', expression }) as const;

test('probes of one interval lie evenly over the whole of it', () => {
  const tenths = Array.from({ length: 10 }, () => 0);
  for (let i = 0; i < 5000; i++) {
    const dueMs = probeTimes(every(300), 'America/Chicago', stableShare('probe', String(i))).next(AT_MS)!;
    const tenth = Math.floor((dueMs % (5 * MINUTE_MS)) / (0.5 * MINUTE_MS));
    tenths[tenth]! += 1;
  }
  for (const count of tenths) expect(Math.abs(count - 500)).toBeLessThan(5 * Math.sqrt(500));
});

test('each of its times is one interval after the one before', () => {
  const times = probeTimes(every(300), 'Asia/Kolkata', 0.83);
  const first = times.next(AT_MS)!;
  expect(times.next(first)).toBe(first + 5 * MINUTE_MS);
  expect(times.next(first + 4 * MINUTE_MS)).toBe(first + 5 * MINUTE_MS);
});

describe('the longest time between two readings', () => {
  test('of an interval is the interval', () => {
    expect(longestGapS(every(900), 'UTC', AT_MS)).toBe(900);
  });

  test.each([
    ['*/15 * * * *', 15 / 60],
    ['0 6,18 * * *', 12],
    ['* 8-17 * * *', 14 + 1 / 60],
    ['0 9 * * 1-5', 72],
    ['30 2 * * 0', 168],
  ])('of "%s" is %d hours, nights and weekends included', (expression, hours) => {
    // A Wednesday, far from any change of the clocks.
    expect(longestGapS(cron(expression), 'America/Chicago', Date.parse('2026-06-03T12:00:00Z'))).toBe(
      hours * 3600,
    );
  });

  test('of a day that never comes is null', () => {
    expect(longestGapS(cron('0 0 30 2 *'), 'UTC', AT_MS)).toBeNull();
  });
});
