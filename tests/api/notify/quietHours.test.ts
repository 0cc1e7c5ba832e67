import { describe, expect, test } from 'vitest';
import { isTimeZone, localTime } from '../../../api/notify/localTime.ts';
import { type Hours, isQuiet, nextOpenMs } from '../../../api/notify/quietHours.ts';

const CHICAGO: Hours = {
  timeZone: 'America/Chicago',
  quiet: { fromMin: 22 * 60, toMin: 7 * 60 },
  workDays: [1, 2, 3, 4, 5],
};
const opens = (hours: Hours, at: string) => new Date(nextOpenMs(hours, Date.parse(at))).toISOString();

describe('quiet hours', () => {
  test('run past midnight and end in the morning of the person’s own zone', () => {
    expect(opens(CHICAGO, '2026-03-05T04:30:00Z')).toBe('2026-03-05T13:00:00.000Z');
    expect(opens(CHICAGO, '2026-03-05T13:00:00Z')).toBe('2026-03-05T13:00:00.000Z');
    expect(isQuiet(CHICAGO, Date.parse('2026-03-05T03:59:00Z'))).toBe(false);
    expect(isQuiet(CHICAGO, Date.parse('2026-03-05T04:00:00Z'))).toBe(true);
  });

  test('last from Friday night to Monday morning where weekends are free', () => {
    expect(opens(CHICAGO, '2026-03-14T15:00:00Z')).toBe('2026-03-16T12:00:00.000Z');
  });

  test('end at seven on the clock whether or not clocks were changed that night', () => {
    const daily = { ...CHICAGO, workDays: [1, 2, 3, 4, 5, 6, 7] };
    expect(opens(daily, '2026-03-08T05:00:00Z')).toBe('2026-03-08T12:00:00.000Z');
    expect(opens(daily, '2026-11-01T05:00:00Z')).toBe('2026-11-01T13:00:00.000Z');
  });

  test('hold in zones whose offset is no whole hour', () => {
    const kathmandu = { ...CHICAGO, timeZone: 'Asia/Kathmandu' };
    expect(opens(kathmandu, '2026-03-05T18:00:00Z')).toBe('2026-03-06T01:15:00.000Z');
  });

  test('that never end hold nothing back', () => {
    expect(opens({ ...CHICAGO, workDays: [] }, '2026-03-05T18:00:00Z')).toBe('2026-03-05T18:00:00.000Z');
  });

  test('are the free days alone where none are set', () => {
    const always = { ...CHICAGO, quiet: null };
    expect(opens(always, '2026-03-05T08:00:00Z')).toBe('2026-03-05T08:00:00.000Z');
    expect(opens(always, '2026-03-14T15:00:00Z')).toBe('2026-03-16T05:00:00.000Z');
  });
});

describe('local time', () => {
  test('gives date, minute and ISO weekday on the zone’s clocks', () => {
    expect(localTime(Date.parse('2026-03-09T03:30:00Z'), 'America/Chicago')).toEqual({
      date: '2026-03-08',
      minuteOfDay: 22 * 60 + 30,
      weekday: 7,
    });
  });

  test('knows which zones there are', () => {
    expect(isTimeZone('Europe/Berlin')).toBe(true);
    expect(isTimeZone('Europe/Nowhere')).toBe(false);
  });
});
