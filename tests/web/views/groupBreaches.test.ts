import { expect, test } from 'vitest';
import type { BreachView } from '../../../api/schemas/common.ts';
import { groupBreaches } from '../../../web/views/site/groupBreaches.ts';

const breach = (channel: string | null, value: number, limit: string): BreachView => ({
  quantity: 'level',
  channel,
  freqMhz: null,
  value,
  limit,
  unit: 'dBmV',
  source: 'common practice, no source',
  effect: 'agreed',
});

test('many channels outside one limit are told once, with the range and every channel', () => {
  const groups = groupBreaches([
    breach('95', 16.2, 'at least 17 dBmV'),
    breach('2', 21, 'at least 24 dBmV'),
    breach('96', 14.9, 'at least 17 dBmV'),
  ]);
  expect(groups.map(({ channels, lowest, highest }) => ({ channels, lowest, highest }))).toEqual([
    { channels: ['95', '96'], lowest: 14.9, highest: 16.2 },
    { channels: ['2'], lowest: 21, highest: 21 },
  ]);
});

test('a breach of the whole sweep names no channel', () => {
  expect(groupBreaches([breach(null, 7, 'at most 6 dB')])[0]?.channels).toEqual([]);
});
