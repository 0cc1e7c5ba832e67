import { expect, test } from 'vitest';
import { isWorthKeeping, keptCheckpoints } from '../../../api/engine/checkpoints.ts';

const HOUR_MS = 3_600_000;
const DAY_MS = 24 * HOUR_MS;
const NOON_MS = 20_000 * DAY_MS + 12 * HOUR_MS;

test('a state is worth keeping at the end of an hour when the newest one follows, and at the end of a day always', () => {
  const isKept = (from: number, to: number, newest: number) =>
    isWorthKeeping(
      NOON_MS + from * HOUR_MS,
      NOON_MS + to * HOUR_MS,
      NOON_MS + newest * HOUR_MS,
      NOON_MS - 2 * HOUR_MS,
    );
  expect(isKept(-1, 0, 0.9)).toBe(true);
  expect(isKept(-1, 0, 1)).toBe(false);
  expect(isKept(0.1, 0.9, 0.9)).toBe(false);
  expect(isKept(-24, 0, 90)).toBe(true);
});

test('a run that catches up keeps days only', () => {
  const isKept = (fromHour: number, toHour: number, startedMs: number | null) =>
    isWorthKeeping(
      NOON_MS + fromHour * HOUR_MS,
      NOON_MS + toHour * HOUR_MS,
      NOON_MS + toHour * HOUR_MS,
      startedMs,
    );
  expect(isKept(-1, 0, NOON_MS - 12 * HOUR_MS)).toBe(false);
  expect(isKept(-1, 0, null)).toBe(false);
  expect(isKept(-13, -11, NOON_MS - 48 * HOUR_MS)).toBe(true);
});

/** Half a year, every hour, thinned as each one is added. */
const kept: { atMs: number }[] = [];
for (let hour = 24 * 180; hour >= 0; hour--) {
  const atMs = NOON_MS - hour * HOUR_MS;
  kept.splice(0, kept.length, ...keptCheckpoints([...kept, { atMs }], atMs));
}
const agesHours = kept.map(({ atMs }) => (NOON_MS - atMs) / HOUR_MS);

test('there are the newest three, one for each of the last fourteen days and for each month before', () => {
  expect(agesHours.slice(-3)).toEqual([2, 1, 0]);
  expect(agesHours.filter((age) => age > 2 && age <= 14 * 24)).toHaveLength(14);
  expect(agesHours.filter((age) => age > 14 * 24)).toHaveLength(6);
});

test('those of days stand at their ends', () => {
  const daily = kept.filter(({ atMs }) => NOON_MS - atMs > 2 * HOUR_MS && NOON_MS - atMs <= 14 * DAY_MS);
  expect(new Set(daily.map(({ atMs }) => (atMs % DAY_MS) / HOUR_MS))).toEqual(new Set([23]));
});

test('the gap before any moment of the past is a day at most for two weeks, then a month', () => {
  kept.slice(1).forEach(({ atMs }, i) => {
    const gapDays = (atMs - kept[i]!.atMs) / DAY_MS;
    expect(gapDays).toBeLessThanOrEqual(NOON_MS - kept[i]!.atMs <= 14 * DAY_MS ? 1 : 30);
  });
});
