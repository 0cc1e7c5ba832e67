import { expect, test } from 'vitest';
import { spectrumSegment } from '../../../../ingest/probe/modem/spectrumSegment.ts';
import { spectrumNotes, spectrumSweep } from '../../../../ingest/probe/modem/spectrumSweep.ts';
import type { Sweep } from '../../../../ingest/sweep.ts';
import { segmentsFor } from '../../../support/spectrumSegments.ts';

const places = [507, 513, 519, 525].map((centreMhz) => ({ centreMhz, widthMhz: 6 }));
const blocks = places.map((place, i) => ({ ...place, levelDbmv: 5 - i }));
const shape = { spanMhz: 7.5, bins: 256, noiseBins: 1.5, spacing: 'by gaps' } as const;
const segments = segmentsFor(blocks, 500, 522, shape).map(({ bytes }) => spectrumSegment(bytes));
const tuned: Sweep = {
  atMs: 1,
  instrument: 'modem-7',
  ambientC: null,
  freqMhz: [513, 603],
  levelDbmv: [3.6, 1],
  merDb: [38.1, 37],
  cnrDb: null,
  berPre: null,
  berPost: null,
  lostMhz: [],
};

test('the channels that are reached take their level from the spectrum and their MER from a tuner, under another name', () => {
  const sweep = spectrumSweep(tuned, segments, places.toReversed())!;
  expect(sweep).toMatchObject({
    atMs: 1,
    instrument: 'modem-7 spectrum',
    freqMhz: [507, 513, 519],
    merDb: [null, 38.1, null],
  });
  for (const [i, level] of sweep.levelDbmv.entries()) expect(Math.abs(level! - (5 - i))).toBeLessThan(0.15);
  expect(spectrumNotes(tuned, sweep, 4)).toEqual(['levels from the spectrum table: 3 of 4 channels reached']);
});

test('a spectrum that reaches over nothing is none', () => {
  expect(spectrumSweep(tuned, [], places)).toBeNull();
  expect(spectrumSweep(tuned, segments, [{ centreMhz: 700, widthMhz: 6 }])).toBeNull();
});

test('a spectrum in another unit than the tuners is doubted', () => {
  const shifted = segments.map((one) => ({ ...one, levelDbmv: one.levelDbmv.map((level) => level - 49) }));
  const sweep = spectrumSweep(tuned, shifted, places)!;
  expect(spectrumNotes(tuned, sweep, 4)[1]).toBe(
    'the spectrum lies 49 dB below what the tuners read: this modem may not mean dBmV in it',
  );
});
