import { describe, expect, test } from 'vitest';
import { planFromRaster } from '../../../ingest/plan/planFromRaster.ts';
import { validatePlanChannels } from '../../../ingest/plan/validatePlanChannels.ts';
import { channel } from './planVersions.ts';

const paths = (...channels: ReturnType<typeof channel>[]): string[] =>
  validatePlanChannels(channels).map(({ path }) => path);

describe('validatePlanChannels', () => {
  test('finds nothing wrong with any raster', () => {
    for (const raster of ['STD', 'HRC', 'IRC', '8 MHz'] as const) {
      expect(validatePlanChannels(planFromRaster(raster, {}, { modulation: 'qam256' }))).toEqual([]);
    }
  });

  test('asks for at least one channel', () => {
    expect(paths()).toEqual(['channels']);
  });

  test('names channels that overlap, by how much, and the fix', () => {
    expect(validatePlanChannels([channel('A', 63), channel('B', 60)])).toEqual([
      {
        path: 'channels[0].centreMhz',
        problem: 'channel A overlaps channel B by 3 MHz',
        fix: 'check both centres and widths, and that they come from one raster',
      },
    ]);
  });

  test('finds a channel inside a wide block, whatever lies between', () => {
    const block = channel('B1', 600, 'ofdm', { widthMhz: 96 });
    expect(paths(block, channel('x', 570), channel('y', 640))).toEqual([
      'channels[1].centreMhz',
      'channels[2].centreMhz',
    ]);
  });

  test('names a repeated name at its second place', () => {
    expect(paths(channel('2', 57), channel('2', 63))).toEqual(['channels[1].channel']);
  });

  test('refuses centres in kHz, widths of zero, wide channels that are no block, and NaN', () => {
    expect(paths(channel('2', 57_000))).toEqual(['channels[0].centreMhz']);
    expect(paths(channel('2', 6))).toEqual(['channels[0].centreMhz']);
    expect(paths(channel('2', 57, 'qam256', { widthMhz: 0 }))).toEqual(['channels[0].widthMhz']);
    expect(paths(channel('2', 570, 'qam256', { widthMhz: 96 }))).toEqual(['channels[0].widthMhz']);
    expect(paths(channel('2', Number.NaN))).toEqual(['channels[0].centreMhz']);
  });

  test('refuses channels without a name and services without a number', () => {
    expect(paths(channel(' ', 57, 'qam256', { services: [{ number: '', name: 'Harbour' }] }))).toEqual([
      'channels[0].channel',
      'channels[0].services[0].number',
    ]);
  });
});
