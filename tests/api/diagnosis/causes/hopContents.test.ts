import { describe, expect, test } from 'vitest';
import { hopContents } from '../../../../api/diagnosis/causes/hopContents.ts';

const NOTHING = {
  amplifier: false,
  splitterWays: null,
  cableM: null,
  lies: null,
  high: false,
  fibre: false,
};

describe('hopContents', () => {
  test.each([
    ['', {}],
    ['62 m of series 11 cable, outdoors', { cableM: 62, lies: 'outdoors' }],
    [
      '4-way splitter (7.2 dB), 55 m of series 6 cable, under the roof',
      { splitterWays: 4, cableM: 55, lies: 'under a roof', high: true },
    ],
    ['8-way splitter and tap (20.4 dB)', { splitterWays: 8 }],
    ['two way splitter', { splitterWays: 2 }],
    ['amplifier', { amplifier: true }],
    ['150 m of series 11 cable, outdoors, amplifier', { cableM: 150, lies: 'outdoors', amplifier: true }],
    ['200 ft RG6 through the hot ceiling of floor 1', { cableM: 60.96, lies: 'under a roof', high: true }],
    ['up the riser, 12 m, inside', { cableM: 12, lies: 'indoors', high: true }],
    ['optical node', { fibre: true }],
    ['example of a ramp', {}],
    ['6 months old', {}],
  ])('reads “%s”', (note, expected) => {
    const { cableM, ...read } = hopContents(note);
    const { cableM: expectedM, ...rest } = { ...NOTHING, ...expected };
    expect(read).toEqual(rest);
    if (expectedM === null) expect(cableM).toBeNull();
    else expect(cableM).toBeCloseTo(expectedM);
  });
});
