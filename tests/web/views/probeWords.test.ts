import { expect, test } from 'vitest';
import {
  dueWords,
  probesToday,
  scheduleWords,
  spanWords,
  successWords,
} from '../../../web/views/probes/probeWords.ts';

const NOW_MS = Date.parse('2026-03-09T14:10:00Z');
const at = (seconds: number) => new Date(NOW_MS + seconds * 1000).toISOString();

test('the next reading is ahead, due, or late by so much', () => {
  expect(dueWords(at(200), NOW_MS)).toBe('in 3 min');
  expect(dueWords(at(45), NOW_MS)).toBe('in 45 s');
  expect(dueWords(at(-20), NOW_MS)).toBe('due now');
  expect(dueWords(at(-720), NOW_MS)).toBe('12 min late');
  expect(dueWords(at(3 * 86_400), NOW_MS)).toBe('in 3 days');
  expect(dueWords(null, NOW_MS)).toBe('–');
});

test('a share of success is never rounded up to all', () => {
  expect(successWords(8640, 1)).toBe('99.9 % of 8,640');
  expect(successWords(8640, 0)).toBe('100 % of 8,640');
  expect(successWords(3, 3)).toBe('0 % of 3');
  expect(successWords(0, 0)).toBe('no reading yet');
});

test('a schedule is said in the largest unit that it fills', () => {
  expect(scheduleWords({ kind: 'every', intervalS: 300 })).toBe('every 5 min');
  expect(scheduleWords({ kind: 'cron', expression: '0 6 * * *' })).toBe('at 0 6 * * *');
  expect([30, 90, 7200].map(spanWords)).toEqual(['30 s', '90 s', '2 h']);
});

test('the heading counts what needs somebody', () => {
  expect(probesToday(0, 0, 0)).toBe('No probe has been set up yet.');
  expect(probesToday(1, 0, 0)).toBe('The one probe is read as it should be.');
  expect(probesToday(1, 1, 0)).toBe('The one probe is failing.');
  expect(probesToday(5000, 2, 1)).toBe('Of 5,000 probes: 2 failing, 1 late.');
  expect(probesToday(5000, 0, 0)).toBe('All of 5,000 probes are read as they should be.');
});
