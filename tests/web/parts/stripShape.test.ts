import { expect, test } from 'vitest';
import { describeStrip, type Strip, stripPaths } from '../../../web/parts/stripShape.ts';

const shown = (strip: Strip['strip'], stripChanged: number[] = [], stripLost: number[] = []): Strip => ({
  strip,
  stripChanged,
  stripLost,
});

test('a bar that has not changed is neutral whatever its size; below goes down, above goes up', () => {
  const paths = stripPaths(shown([0.9, -1, 2], [1, 2]));
  expect(paths.near).toBe('M0.12 3h.76v-0.9h-.76z');
  expect(paths.below).toBe('M1.12 3h.76v1h-.76z');
  expect(paths.above).toBe('M2.12 3h.76v-2h-.76z');
});

test('a bar beyond the range is cut and says so', () => {
  expect(stripPaths(shown([-9], [0])).below).toBe('M0.12 3h.76v3h-.76z');
  expect(stripPaths(shown([-9], [0])).cut).not.toBe('');
  expect(stripPaths(shown([-3], [0])).cut).toBe('');
});

test('a lost channel is a cross in its slice, inside the strip at its ends too', () => {
  expect(stripPaths(shown([0, 0, null, 0], [], [2])).lost).toBe('M1.7 2.25l1.6 1.5m0 -1.5l-1.6 1.5');
  expect(stripPaths(shown([null, 0, 0, 0], [], [0])).lost).toMatch(/^M0 /);
  expect(stripPaths(shown([0, 0, 0, null], [], [3])).lost).toMatch(/^M2.4 /);
});

test('where nothing is read there is neither bar nor baseline', () => {
  expect(stripPaths(shown([null, null]))).toEqual({
    near: '',
    below: '',
    above: '',
    cut: '',
    lost: '',
    axis: '',
  });
});

test('the words name where the strip left its baseline and by how much, and where channels are lost', () => {
  expect(describeStrip(shown([0.1, -0.9]), 54, 1002)).toBe(
    'No more than the usual scatter about baseline, 54 to 1002 MHz',
  );
  expect(describeStrip(shown([0, -1, -2.34, 0], [1, 2]), 0, 400)).toBe(
    'Against baseline: −2.3 dB at most from 100 to 300 MHz',
  );
  expect(describeStrip(shown([1, -1], [0, 1]), 0, 200)).toContain('; ');
  expect(describeStrip(shown([0, null], [], [1]), 0, 200)).toBe(
    'Against baseline: channels lost near 100 MHz',
  );
  expect(describeStrip(shown([null]), 54, 1002)).toBe('No readings to compare, 54 to 1002 MHz');
});
