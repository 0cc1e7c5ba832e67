import { describe, expect, test } from 'vitest';
import {
  type BandChannel,
  bandColumns,
  deviationRange,
  halfSlotMhz,
  levelRange,
  outsideLimits,
} from '../../../web/charts/bandColumns.ts';

const channel = (changes: Partial<BandChannel>): BandChannel => ({
  freqMhz: 57,
  standing: 'planned',
  leftPlanAt: null,
  channel: '2',
  modulation: 'qam256',
  services: [],
  thenLevelDbmv: 20,
  thenSpreadDb: 0.2,
  nowLevelDbmv: 19,
  deviationDb: -1,
  thenMerDb: null,
  nowMerDb: null,
  nowCnrDb: null,
  marginDb: null,
  lost: false,
  levelMinDbmv: 14,
  levelMaxDbmv: 26,
  ...changes,
});

test('columns rise in frequency whatever order channels come in', () => {
  const columns = bandColumns([
    channel({ freqMhz: 69, nowLevelDbmv: 1 }),
    channel({ freqMhz: 57, nowLevelDbmv: 2 }),
  ]);
  expect(columns.freqMhz).toEqual([57, 69]);
  expect(columns.nowDbmv).toEqual([2, 1]);
});

describe('a channel is outside', () => {
  test.each([
    ['below its lower limit', { nowLevelDbmv: 13.9 }, true],
    ['on its lower limit', { nowLevelDbmv: 14 }, false],
    ['above its upper limit', { nowLevelDbmv: 26.1 }, true],
    ['with its MER below what is asked', { marginDb: -0.1 }, true],
    ['when nothing is read', { nowLevelDbmv: null }, false],
    ['when it has no limits', { nowLevelDbmv: -40, levelMinDbmv: null }, false],
  ])('%s: %o → %s', (_, changes, outside) => {
    expect(outsideLimits(channel(changes))).toBe(outside);
  });
});

test('the level axis takes in limits within reach and leaves far ones out', () => {
  expect(levelRange(bandColumns([channel({ nowLevelDbmv: 17 })]))).toEqual([12, 22]);
  expect(levelRange(bandColumns([channel({ nowLevelDbmv: 19 })]))).toEqual([18, 22]);
});

test('the deviation axis is symmetrical and never finer than ±3 dB', () => {
  expect(deviationRange(bandColumns([channel({ deviationDb: -0.2 })]))).toEqual([-4, 4]);
  expect(deviationRange(bandColumns([channel({ deviationDb: -7.5 })]))).toEqual([-8, 8]);
});

test('a channel has half the room to its nearest neighbour, and no more than a wide channel', () => {
  expect(halfSlotMhz([57, 63, 80], 1)).toBe(3);
  expect(halfSlotMhz([57, 200], 1)).toBe(4);
});
