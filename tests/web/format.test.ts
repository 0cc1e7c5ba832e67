import { expect, test } from 'vitest';
import {
  formatAgo,
  formatChange,
  formatDaysLeft,
  formatInterval,
  formatMoment,
  formatNumber,
  formatOutletDays,
  formatShare,
  plural,
} from '../../web/format.ts';

test('a missing value is a dash and never a zero', () => {
  expect(formatNumber(null)).toBe('–');
  expect(formatChange(null)).toBe('–');
  expect(formatDaysLeft(null)).toBe('–');
});

test('numbers carry a true minus sign, and none when they round to zero', () => {
  expect(formatNumber(-2.34)).toBe('−2.3');
  expect(formatNumber(-0.04)).toBe('0.0');
});

test('a change always carries its sign', () => {
  expect(formatChange(1.26)).toBe('+1.3');
  expect(formatChange(-1.26)).toBe('−1.3');
  expect(formatChange(0.01)).toBe('0.0');
});

test('a share is told in whole percent', () => {
  expect(formatShare(0.814)).toBe('81 %');
  expect(formatShare(1)).toBe('100 %');
});

test('an interval names both ends', () => {
  expect(formatInterval(-2.4, -2.8, -2.1, 'dB')).toBe('−2.4 dB (−2.8 to −2.1)');
  expect(formatInterval(-2.4, -2.42, -2.38, 'dB')).toBe('−2.4 dB (±0.05)');
});

test('time left claims no more than a forecast can', () => {
  expect(formatDaysLeft(-1)).toBe('past it');
  expect(formatDaysLeft(0.4)).toBe('under a day');
  expect(formatDaysLeft(1.2)).toBe('1 day');
  expect(formatDaysLeft(5.4)).toBe('5 days');
  expect(formatDaysLeft(400)).toBe('over 90 days');
});

test('outlet-days are a forecast: two figures are all that they hold', () => {
  expect([0, 0.02, 3.14, 12.6, 1234].map(formatOutletDays)).toEqual(['0', '<0.1', '3.1', '13', '1,200']);
});

test('moments are told in the zone of the site, winter and summer, with the zone named', () => {
  expect(formatMoment('2026-01-15T12:00:00Z', 'America/Chicago')).toBe('15 Jan 2026, 06:00 CST');
  expect(formatMoment('2026-07-15T12:00:00Z', 'America/Chicago')).toBe('15 Jul 2026, 07:00 CDT');
});

test('how long ago is told in one unit', () => {
  const now = Date.parse('2026-03-09T12:00:00Z');
  expect(formatAgo('2026-03-09T11:48:00Z', now)).toBe('12 min ago');
  expect(formatAgo('2026-03-09T07:00:00Z', now)).toBe('5 h ago');
  expect(formatAgo('2026-03-06T12:00:00Z', now)).toBe('3 days ago');
  expect(formatAgo('2026-03-09T12:05:00Z', now)).toBe('just now');
});

test('one is one and others are many', () => {
  expect(plural(1, 'site')).toBe('1 site');
  expect(plural(2000, 'site')).toBe('2,000 sites');
});
