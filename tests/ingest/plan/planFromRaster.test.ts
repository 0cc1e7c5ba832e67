import { describe, expect, test } from 'vitest';
import { planFromRaster } from '../../../ingest/plan/planFromRaster.ts';

const names = (...args: Parameters<typeof planFromRaster>): string[] =>
  planFromRaster(...args).map(({ channel }) => channel);
const qam256 = { modulation: 'qam256' } as const;

describe('planFromRaster', () => {
  test('takes channels by number and returns them in rising frequency', () => {
    expect(names('STD', { fromChannel: '2', toChannel: '8' }, qam256)).toEqual([
      '2',
      '3',
      '4',
      '5',
      '6',
      '7',
      '8',
    ]);
    expect(names('STD', { fromChannel: '13', toChannel: '15' }, qam256)).toEqual(['14', '15', '13']);
    expect(names('8 MHz', { fromChannel: 'S40', toChannel: 'E22' }, qam256)).toEqual([
      'S40',
      'S41',
      'E21',
      'E22',
    ]);
  });

  test('takes channels that lie in a band as a whole', () => {
    expect(names('STD', { fromMhz: 54, toMhz: 83 }, qam256)).toEqual(['2', '3', '4', '5']);
    expect(names('STD', { fromMhz: 120, toMhz: 132 }, qam256)).toEqual(['14', '15']);
  });

  test('takes the whole raster when no end is named', () => {
    expect(names('STD', {}, qam256)).toHaveLength(157);
    expect(names('STD', { fromChannel: '157' }, qam256)).toEqual(['157', '158']);
  });

  test('puts the services on their RF channels', () => {
    const services = new Map([['3', [{ number: '7.1', name: 'Harbour' }]]]);
    const plan = planFromRaster(
      'STD',
      { fromChannel: '2', toChannel: '3' },
      { modulation: 'qam64', services },
    );
    expect(plan.map(({ modulation, services }) => [modulation, services])).toEqual([
      ['qam64', []],
      ['qam64', [{ number: '7.1', name: 'Harbour' }]],
    ]);
  });

  test('names what is wrong and what would be right', () => {
    expect(() => names('STD', { fromChannel: '1' }, qam256)).toThrow(
      'the raster has no channel "1"; it runs from 2 to 158',
    );
    expect(() => names('STD', { fromChannel: '9', toChannel: '3' }, qam256)).toThrow(
      'give the lower one first',
    );
    expect(() => names('STD', { fromMhz: 100, toMhz: 50 }, qam256)).toThrow('give the lower end first');
    expect(() => names('own', {}, qam256)).toThrow('list its channels');
  });
});
