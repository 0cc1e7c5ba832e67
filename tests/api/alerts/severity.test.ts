import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { isGraver, leastTimeLeft, severityOf, type TimeLeft } from '../../../api/alerts/severity.ts';

describe('severityOf', () => {
  test.each<[TimeLeft, number, string]>([
    ['lost', 48, 'critical'],
    ['lost', 20, 'critical'],
    ['lost', 19, 'major'],
    ['part-lost', 48, 'major'],
    ['part-lost', 4, 'minor'],
    [0, 48, 'major'],
    [3, 48, 'major'],
    [3, 4, 'minor'],
    [3.1, 48, 'minor'],
    [14, 4, 'warning'],
    [14.1, 48, 'warning'],
    ['no-limit', 400, 'warning'],
    ['unseen', 400, 'indeterminate'],
  ])('%s with %d outlets is %s', (left, outlets, severity) => {
    expect(severityOf(left, outlets)).toBe(severity);
  });

  test('never falls with less time or with more outlets', () => {
    const days = fc.double({ min: 0, max: 400, noNaN: true });
    const outlets = fc.integer({ min: 0, max: 500 });
    fc.assert(
      fc.property(days, days, outlets, outlets, (a, b, few, many) => {
        const [less, more] = [Math.min(a, b), Math.max(a, b)];
        const [small, large] = [Math.min(few, many), Math.max(few, many)];
        expect(isGraver(severityOf(more, small), severityOf(less, large))).toBe(false);
      }),
    );
  });
});

test('the least time left is lost before part lost before days before no limit', () => {
  expect(leastTimeLeft(['no-limit', 12, 'part-lost', 'lost'])).toBe('lost');
  expect(leastTimeLeft([12, 'part-lost'])).toBe('part-lost');
  expect(leastTimeLeft(['no-limit', 12, 3])).toBe(3);
  expect(leastTimeLeft(['unseen', 'no-limit'])).toBe('no-limit');
  expect(leastTimeLeft([])).toBe('unseen');
});
