import { readFileSync } from 'node:fs';
import path from 'node:path';
import { expect, test } from 'vitest';
import { wilsonInterval } from '../../../api/complaints/wilsonInterval.ts';

const file = path.join(import.meta.dirname, '../../reference/wilson.json');
const reference: { cases: { of: number; hits: number; low: number; high: number }[] } = JSON.parse(
  readFileSync(file, 'utf8'),
);

test.each(reference.cases)('wilsonInterval($hits, $of) is what R says', ({ hits, of, low, high }) => {
  const interval = wilsonInterval(hits, of)!;
  expect(interval.low).toBeCloseTo(low, 7);
  expect(interval.high).toBeCloseTo(high, 7);
});

test('of nothing counted there is no interval', () => {
  expect(wilsonInterval(0, 0)).toBeNull();
});
