import { describe, expect, test } from 'vitest';
import { bandStrip, STRIP_SLICES } from '../../../api/risk/bandStrip.ts';
import { stripView, worstStrip } from '../../../api/risk/strip.ts';

/** Three channels in most slices, all at 10 dBmV in the baseline. */
const FREQ_MHZ = Array.from({ length: 128 }, (_, i) => 57 + 6 * i);
const levels = new Map(FREQ_MHZ.map((freqMhz) => [freqMhz * 1e6, 10]));

function strip(levelAt: (freqMhz: number) => number | null, spreadDb: number | null = 0.1) {
  const carriers = FREQ_MHZ.map((freqMhz) => {
    const levelDbmv = levelAt(freqMhz);
    const rest = { levelSpreadDb: null, merDb: null, merSpreadDb: null, cnrDb: null };
    return { freqMhz, levelDbmv, lost: levelDbmv === null ? 3 : 0, looked: 3, ...rest };
  });
  return bandStrip(carriers, { levels, spreadDb });
}

describe('bandStrip', () => {
  test('shows the median of the channels of a slice, so that one noisy channel colours nothing', () => {
    const told = strip((mhz) => (mhz === 201 ? 9.1 : 10.1));
    expect(told).toHaveLength(STRIP_SLICES);
    expect(told[7]?.changeDb).toBeCloseTo(0.1, 9);
    expect(told.filter((slice) => slice?.mark === 'changed')).toEqual([]);
    expect(told.at(-1)).toBeNull();
  });

  test('has changed beyond three spreads of the point, and never within half a decibel', () => {
    expect(strip(() => 9.51)[5]?.mark).toBe('near');
    expect(strip(() => 9.49)[5]?.mark).toBe('changed');
    expect(strip(() => 9.49, null)[5]?.mark).toBe('changed');
    expect(strip(() => 9.11, 0.3)[5]?.mark).toBe('near');
    expect(strip(() => 10.91, 0.3)[5]?.mark).toBe('changed');
  });

  test('shows a notch of one channel, and marks a lost one beside what the others read', () => {
    const notched = strip((mhz) => (mhz === 201 ? 6 : 10));
    expect(notched[7]).toEqual({ changeDb: -4, mark: 'changed' });
    expect(notched[8]).toEqual({ changeDb: 0, mark: 'near' });
    const lost = strip((mhz) => (mhz === 201 ? null : 9.9));
    expect(lost[7]?.mark).toBe('lost');
    expect(lost[7]?.changeDb).toBeCloseTo(-0.1, 9);
    expect(strip((mhz) => (mhz === 201 ? -9 : 10))[7]).toEqual({ changeDb: 0, mark: 'lost' });
    expect(strip(() => null)[7]).toEqual({ changeDb: null, mark: 'lost' });
  });

  test('says nothing without a baseline', () => {
    expect(bandStrip([], null).every((slice) => slice === null)).toBe(true);
  });
});

test('the strip of a site keeps the gravest of its points in each slice, lost before changed before large', () => {
  const near = strip(() => 10.8, 1);
  const changed = strip(() => 9.2);
  const lost = strip((mhz) => (mhz === 201 ? null : 10));
  const view = stripView(worstStrip([near, changed, lost]));
  expect(view.strip.slice(5, 9)).toEqual([-0.8, -0.8, 0, -0.8]);
  expect(view.stripLost).toEqual([7]);
  expect(view.stripChanged).not.toContain(7);
  expect(view.stripChanged).toContain(6);
  expect(stripView(worstStrip([]))).toEqual({
    strip: new Array(STRIP_SLICES).fill(null),
    stripChanged: [],
    stripLost: [],
  });
});
