import { expect, test } from 'vitest';
import { usualValues } from '../../../../api/reports/drawing/usualValues.ts';

const steady = Array.from({ length: 100 }, (_, i) => 20 + (i % 5) / 10);

test('one wild value among many is left out', () => {
  expect(usualValues([...steady, 3]).includes(3)).toBe(false);
  expect(usualValues([...steady, 3])).toHaveLength(100);
});

test('a change that lasts is kept, and so is a small one', () => {
  const fallen = [...steady, ...Array.from({ length: 10 }, () => 14)];
  expect(usualValues(fallen)).toHaveLength(110);
  expect(usualValues([...steady, 18.5])).toHaveLength(101);
});

test('no values are no values', () => {
  expect(usualValues([null, null])).toEqual([]);
});
