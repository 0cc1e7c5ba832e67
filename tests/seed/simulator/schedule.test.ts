import { expect, test } from 'vitest';
import { sweepTimes } from '../../../seed/simulator/schedule.ts';

test('sweepTimes gives each pace its own interval', () => {
  const times = sweepTimes(
    [
      { fromMs: 0, toMs: 40, intervalMs: 20 },
      { fromMs: 40, toMs: 60, intervalMs: 5 },
    ],
    3,
  );
  expect(times).toEqual([3, 23, 43, 48, 53, 58]);
});

test('sweepTimes is the same however a stretch is cut', () => {
  const whole = sweepTimes([{ fromMs: 7, toMs: 1000, intervalMs: 13 }], 4);
  const parts = [
    ...sweepTimes([{ fromMs: 7, toMs: 333, intervalMs: 13 }], 4),
    ...sweepTimes([{ fromMs: 333, toMs: 1000, intervalMs: 13 }], 4),
  ];
  expect(parts).toEqual(whole);
});

test('sweepTimes refuses an interval that never advances', () => {
  expect(() => sweepTimes([{ fromMs: 0, toMs: 1, intervalMs: 0 }], 0)).toThrow(RangeError);
});
