import { expect, test } from 'vitest';
import { describeStrip, stripPaths } from '../../../web/parts/stripShape.ts';

test('a bar within ±0.5 dB is neutral, below goes down, above goes up', () => {
  const paths = stripPaths([0.5, -1, 2]);
  expect(paths.near).toBe('M0.12 3h.76v-0.5h-.76z');
  expect(paths.below).toBe('M1.12 3h.76v1h-.76z');
  expect(paths.above).toBe('M2.12 3h.76v-2h-.76z');
});

test('a bar beyond the range is cut and says so', () => {
  expect(stripPaths([-9]).below).toBe('M0.12 3h.76v3h-.76z');
  expect(stripPaths([-9]).cut).not.toBe('');
  expect(stripPaths([-3]).cut).toBe('');
});

test('where nothing is read there is neither bar nor baseline', () => {
  expect(stripPaths([null, null])).toEqual({ near: '', below: '', above: '', cut: '', axis: '' });
});

test('the words name where the strip leaves its baseline and by how much', () => {
  expect(describeStrip([0.1, -0.2], 54, 1002)).toBe('Within ±0.5 dB of baseline, 54 to 1002 MHz');
  expect(describeStrip([0, -1, -2.34, 0], 0, 400)).toBe(
    'Against baseline: −2.3 dB at worst from 100 to 300 MHz',
  );
  expect(describeStrip([1, -1], 0, 200)).toContain('; ');
  expect(describeStrip([null], 54, 1002)).toBe('No readings to compare, 54 to 1002 MHz');
});
