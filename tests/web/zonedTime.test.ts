import fc from 'fast-check';
import { expect, test } from 'vitest';
import { toInstant, toLocal } from '../../web/zonedTime.ts';

const ZONES = [
  'UTC',
  'America/Chicago',
  'Europe/Berlin',
  'Asia/Kathmandu',
  'Pacific/Auckland',
  'America/St_Johns',
];

test('a clock time in a zone becomes the instant at which clocks there show it', () => {
  expect(toInstant('2026-01-15T06:00', 'America/Chicago')).toBe('2026-01-15T12:00:00.000Z');
  expect(toInstant('2026-07-15T07:00', 'America/Chicago')).toBe('2026-07-15T12:00:00.000Z');
});

test('every minute comes back from its clock time, but for the hour that clocks show twice', () => {
  const minutes = fc.integer({ min: 28_000_000, max: 31_000_000 });
  fc.assert(
    fc.property(minutes, fc.constantFrom(...ZONES), (minute, zone) => {
      const at = new Date(minute * 60_000).toISOString();
      const back = toInstant(toLocal(at, zone), zone)!;
      expect(toLocal(back, zone)).toBe(toLocal(at, zone));
      expect(Date.parse(at) - Date.parse(back)).toBeOneOf([0, 3_600_000]);
    }),
  );
});

test('an hour that clocks skip moves on with them', () => {
  expect(toInstant('2026-03-08T02:30', 'America/Chicago')).toBe('2026-03-08T08:30:00.000Z');
});

test('of an hour that clocks show twice the first is meant', () => {
  expect(toInstant('2026-11-01T01:30', 'America/Chicago')).toBe('2026-11-01T06:30:00.000Z');
});

test('what is no time has no instant', () => {
  expect(toInstant('', 'UTC')).toBeNull();
});
