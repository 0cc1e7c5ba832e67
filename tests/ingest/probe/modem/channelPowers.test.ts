import { expect, test } from 'vitest';
import { channelPowers } from '../../../../ingest/probe/modem/channelPowers.ts';
import { spectrumSegment } from '../../../../ingest/probe/modem/spectrumSegment.ts';
import { type Block, type SegmentShape, segmentsFor } from '../../../support/spectrumSegments.ts';

/** Twenty channels next to each other with levels that go up and down; the seventh is missing, two are narrower than their place. */
const blocks: Block[] = Array.from({ length: 20 }, (_, i) => ({
  centreMhz: 507 + 6 * i,
  widthMhz: i === 3 || i === 4 ? 5.36 : 6,
  levelDbmv: 6 - 0.4 * i + (i % 3),
})).filter((_, i) => i !== 6);
const places = Array.from({ length: 20 }, (_, i) => ({ centreMhz: 507 + 6 * i, widthMhz: 6 }));
const powers = (shape: SegmentShape) =>
  channelPowers(
    segmentsFor(blocks, 500, 630, shape).map(({ bytes }) => spectrumSegment(bytes)),
    places,
  );

const SHAPES: SegmentShape[] = [
  { spanMhz: 7.5, bins: 256, noiseBins: 1.5, spacing: 'by gaps' },
  { spanMhz: 7.5, bins: 256, noiseBins: 1.5, spacing: 'by bins' },
  { spanMhz: 7.5, bins: 255, noiseBins: 1, spacing: 'by gaps' },
  { spanMhz: 10, bins: 128, noiseBins: 2, spacing: 'by bins' },
  { spanMhz: 130, bins: 2048, noiseBins: 1.5, spacing: 'by gaps' },
];

test.each(SHAPES)(
  'known powers come out within 0.15 dB: $spanMhz MHz, $bins bins, $noiseBins, $spacing',
  (shape) => {
    const found = powers(shape);
    for (const { centreMhz, levelDbmv } of blocks) {
      const place = places.findIndex((one) => one.centreMhz === centreMhz);
      expect(Math.abs(found[place]! - levelDbmv), `${centreMhz} MHz`).toBeLessThan(0.15);
    }
  },
);

test('a place without a channel holds what leaks into it, and is far down', () => {
  expect(powers(SHAPES[0]!)[6]!).toBeLessThan(-5);
});

test('a channel that the spectrum does not reach as a whole has no power', () => {
  const segments = segmentsFor(blocks, 500, 514, SHAPES[1]!).map(({ bytes }) => spectrumSegment(bytes));
  expect(channelPowers(segments, places).map((level) => level !== null)).toEqual([
    true,
    ...Array.from({ length: 19 }, () => false),
  ]);
  expect(channelPowers([], places.slice(0, 2))).toEqual([null, null]);
});

test('a hole in the middle of a channel is not bridged', () => {
  const all = segmentsFor(blocks, 500, 630, { ...SHAPES[1]!, spanMhz: 2 });
  const holed = all.filter(({ centreHz }) => centreHz !== 507e6);
  const [first, second] = channelPowers(
    holed.map(({ bytes }) => spectrumSegment(bytes)),
    places,
  );
  expect(first).toBeNull();
  expect(Math.abs(second! - blocks[1]!.levelDbmv)).toBeLessThan(0.15);
});

test('segments that overlap count no power twice', () => {
  const twice = [...segmentsFor(blocks, 500, 630, SHAPES[1]!), ...segmentsFor(blocks, 503, 630, SHAPES[1]!)];
  const found = channelPowers(
    twice.map(({ bytes }) => spectrumSegment(bytes)),
    places,
  );
  expect(Math.abs(found[1]! - blocks[1]!.levelDbmv)).toBeLessThan(0.15);
});

test('the head of a segment is read as the textual convention lays it out', () => {
  const bytes = Buffer.from('05f5e10000989680000000030098968000e4e1c0fc18ffff03e8', 'hex');
  expect(spectrumSegment(bytes)).toEqual({
    centreHz: 100_000_000,
    spacingHz: 10_000_000,
    noiseBandwidthHz: 15_000_000,
    levelDbmv: [-10, -0.01, 10],
  });
});

test('a spacing left at 0 follows from the span, and so does the bandwidth', () => {
  const bytes = Buffer.from('05f5e10001312d0000000003000000000000000000000000' + '0000', 'hex');
  expect(spectrumSegment(bytes)).toMatchObject({ spacingHz: 10_000_000, noiseBandwidthHz: 10_000_000 });
});

test('what is too short or too long is refused in words', () => {
  expect(() => spectrumSegment(Buffer.alloc(7))).toThrow('has 7 bytes, fewer than its head of 20');
  const bytes = Buffer.alloc(24);
  bytes.writeUInt32BE(3, 8);
  expect(() => spectrumSegment(bytes)).toThrow('tells of 3 bins, which need 26 bytes, and has 24');
  const flat = Buffer.alloc(24);
  flat.writeUInt32BE(2, 8);
  expect(() => spectrumSegment(flat)).toThrow('neither of a span nor of the spacing');
});
