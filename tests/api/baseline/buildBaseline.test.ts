import { describe, expect, test } from 'vitest';
import { buildBaseline } from '../../../api/baseline/buildBaseline.ts';
import { defaultLimitSet } from '../../../api/limits/limitSets.ts';
import type { PlanVersion } from '../../../ingest/plan/channelPlan.ts';
import { aSweep, THIRTY_CHANNELS } from '../../support/givenSite.ts';

const START = Date.parse('2026-11-01T00:00:00Z');
const plan: PlanVersion = {
  planId: 1,
  version: 1,
  effectiveFromMs: 0,
  note: '',
  channels: THIRTY_CHANNELS,
};
const outlet = defaultLimitSet('outlet');
const handoff = defaultLimitSet('handoff');

/** Level rising 6 dB from the first channel (111 MHz) to the last (285 MHz), 1 dBmV in the middle. */
const sloped = (freqMhz: number) => 1 + (6 * (freqMhz - 198)) / (285 - 111);

describe('buildBaseline', () => {
  test('takes the median of each channel and a spread that one wild sweep does not bend', () => {
    const sweeps = [-0.2, -0.1, 0, 0.1, 30].map((off, i) => aSweep(START + i, { levelAt: () => 2 + off }));
    const draft = buildBaseline(sweeps, plan, outlet)!;
    expect(draft.carriers[4]).toMatchObject({ freqMhz: 135, levelDbmv: 2, merDb: 38, merSpreadDb: 0 });
    // The distances from the median are 0.2, 0.1, 0, 0.1 and 30; their median times 1.4826.
    expect(draft.carriers[4]!.levelSpreadDb).toBeCloseTo(0.14826, 6);
    expect(draft.sweeps).toBe(5);
  });

  test('fits level at mid band, tilt across it, peak to valley about it and the worst MER margin', () => {
    const sweeps = [0, 1, 2].map((i) =>
      aSweep(START + i, { levelAt: sloped, merAt: (mhz) => (mhz === 135 ? 34.5 : 40) }),
    );
    const draft = buildBaseline(sweeps, plan, outlet)!;
    expect(draft.levelDbmv).toBeCloseTo(1, 6);
    expect(draft.tiltDb).toBeCloseTo(6, 6);
    expect(draft.flatnessDb).toBeCloseTo(0, 6);
    expect(draft.worstMerMarginDb).toBeCloseTo(1.5, 6);
    expect(draft.outside).toEqual([]);
  });

  test('lists what lies outside the limits of its point', () => {
    const draft = buildBaseline(
      [0, 1, 2].map((i) => aSweep(START + i)),
      plan,
      handoff,
    )!;
    expect(draft.outside).toHaveLength(30);
    expect(draft.outside[0]).toMatchObject({
      quantity: 'level',
      channel: '1',
      value: 0,
      limit: 'at least 17 dBmV',
    });
  });

  test('lists a planned channel that most sweeps looked for and did not find', () => {
    const freqMhz = THIRTY_CHANNELS.slice(0, 29).map(({ centreMhz }) => centreMhz);
    const without = (i: number) => aSweep(START + i, { freqMhz, lostMhz: [285] });
    const draft = buildBaseline([without(0), without(1), aSweep(START + 2)], plan, outlet)!;
    expect(draft.outside).toMatchObject([{ quantity: 'presence', channel: '30', value: 33, unit: '%' }]);
    expect(draft.carriers.at(-1)).toMatchObject({ freqMhz: 285, levelDbmv: null, merDb: null });
  });

  test('keeps a carrier outside the plan, names channels not looked for, and bends no line by either', () => {
    const freqMhz = [...THIRTY_CHANNELS.slice(1).map(({ centreMhz }) => centreMhz), 500];
    const sweeps = [0, 1, 2].map((i) =>
      aSweep(START + i, { freqMhz, levelAt: (mhz) => (mhz === 500 ? -30 : 3) }),
    );
    const draft = buildBaseline(sweeps, plan, outlet)!;
    expect(draft.notLookedFor).toEqual(['1']);
    expect(draft.carriers.at(-1)).toMatchObject({ freqMhz: 500, levelDbmv: -30, planned: null });
    expect(draft.levelDbmv).toBeCloseTo(3, 6);
    expect(draft.tiltDb).toBeCloseTo(0, 6);
  });

  test('joins sweeps of different grids', () => {
    const half = (from: number) => THIRTY_CHANNELS.slice(from, from + 15).map(({ centreMhz }) => centreMhz);
    const draft = buildBaseline(
      [aSweep(START, { freqMhz: half(0) }), aSweep(START + 1, { freqMhz: half(15), instrument: 'probe-2' })],
      plan,
      outlet,
    )!;
    expect(draft.carriers).toHaveLength(30);
    expect(draft.instruments).toEqual(['probe-2', 'probe-7']);
  });

  test('makes nothing of fewer than three channels', () => {
    expect(buildBaseline([aSweep(START, { freqMhz: [111, 117] })], plan, outlet)).toBe(null);
  });
});
