import { expect, test } from 'vitest';
import { tickValues } from '../../../../api/reports/drawing/tickValues.ts';

test('ticks are round figures within the bounds', () => {
  expect(tickValues(13.2, 26.4, 5)).toEqual({ values: [15, 20, 25], digits: 0 });
  expect(tickValues(-0.55, 0.3, 4).values).toEqual([-0.5, 0]);
  expect(tickValues(40, 861, 9).values).toEqual([100, 200, 300, 400, 500, 600, 700, 800]);
});

test('figures carry as many decimals as their distance needs', () => {
  expect(tickValues(0, 0.5, 5)).toEqual({ values: [0, 0.1, 0.2, 0.3, 0.4, 0.5], digits: 1 });
});
