import { describe, expect, test } from 'vitest';
import { unchangedChannels } from '../../../ingest/plan/unchangedChannels.ts';
import { channel, planVersion } from './planVersions.ts';

const before = planVersion(1, 1000, [
  channel('2', 57, 'analogue'),
  channel('3', 63),
  channel('4', 69),
  channel('5', 79),
  channel('B1', 600, 'ofdm', { widthMhz: 96 }),
]);
const after = planVersion(2, 2000, [
  channel('2', 57, 'qam256'),
  channel('3', 63, 'qam256', { services: [{ number: '3.1', name: 'Harbour' }] }),
  channel('4', 69.0125),
  channel('B1', 600, 'ofdm', { widthMhz: 48 }),
  channel('7', 177),
]);
const names = (at: number, to: number): string[] =>
  unchangedChannels([after, before], at, to).map(({ channel }) => channel);

describe('unchangedChannels', () => {
  test('leaves out what was re-modulated, moved, narrowed, removed or added; services may change', () => {
    expect(names(1500, 2500)).toEqual(['3']);
    expect(names(2500, 1500)).toEqual(['3']);
  });

  test('is the whole plan while one version is in force', () => {
    expect(names(1000, 1999)).toEqual(['2', '3', '4', '5', 'B1']);
  });

  test('describes channels as they are at the later moment', () => {
    expect(unchangedChannels([before, after], 1500, 2500)[0]?.services).toEqual([
      { number: '3.1', name: 'Harbour' },
    ]);
  });

  test('is empty when no plan is in force at one of the moments', () => {
    expect(names(500, 2500)).toEqual([]);
    expect(names(1500, 500)).toEqual([]);
  });
});
