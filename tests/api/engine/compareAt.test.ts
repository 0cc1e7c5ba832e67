import { expect, test } from 'vitest';
import { compareAt } from '../../../api/engine/compareAt.ts';
import type { PointContext } from '../../../api/engine/pointContext.ts';
import { defaultLimitSet } from '../../../api/limits/limitSets.ts';
import { observe } from '../../../api/trend/observe.ts';
import type { PlannedChannel, PlanVersion } from '../../../ingest/plan/channelPlan.ts';
import type { BaselineRow } from '../../../ingest/store/schema.ts';

const DAY_MS = 86_400_000;
const FREQ_MHZ = Array.from({ length: 30 }, (_, i) => 57 + 6 * i);

function channel(centreMhz: number, modulation: PlannedChannel['modulation']): PlannedChannel {
  return { channel: `c${centreMhz}`, centreMhz, widthMhz: 6, modulation, services: [] };
}

function version(number: number, effectiveFromMs: number, channels: PlannedChannel[]): PlanVersion {
  return { planId: 1, version: number, effectiveFromMs, note: '', channels };
}

/** From day 10 on the upper third of the line-up is 64-QAM, which the feed carries 6 dB lower. */
const CONTEXT: PointContext = {
  limitSet: defaultLimitSet('handoff'),
  planVersions: [
    version(
      1,
      0,
      FREQ_MHZ.map((mhz) => channel(mhz, 'qam256')),
    ),
    version(
      2,
      10 * DAY_MS,
      FREQ_MHZ.map((mhz, i) => channel(mhz, i < 20 ? 'qam256' : 'qam64')),
    ),
  ],
  baselines: [
    {
      version: 1,
      effective_from: new Date(2 * DAY_MS),
      from_at: new Date(0),
      to_at: new Date(2 * DAY_MS),
      instruments: ['probe-1'],
      freq_hz: FREQ_MHZ.map((mhz) => mhz * 1e6),
      level_cdbmv: FREQ_MHZ.map((_, i) => (i === 4 ? 1900 : 2000)),
      level_spread_cdb: FREQ_MHZ.map(() => 30),
      mer_cdb: FREQ_MHZ.map(() => 4000),
      mer_spread_cdb: FREQ_MHZ.map(() => 40),
      cnr_cdb: null,
      level_dbmv: 20,
      tilt_db: 0,
      flatness_db: 1,
      worst_mer_margin_db: 2,
      ambient_c: 20,
    } as Partial<BaselineRow> as BaselineRow,
  ],
  compared: new Map(),
};

function observed(day: number, upperDbmv: number) {
  const { frame } = compareAt(CONTEXT, 1, FREQ_MHZ, day * DAY_MS);
  return observe(
    {
      atMs: day * DAY_MS,
      instrument: 'probe-1',
      ambientC: 20,
      freqMhz: FREQ_MHZ,
      levelDbmv: FREQ_MHZ.map((_, i) => (i < 20 ? (i === 4 ? 19 : 20) : upperDbmv)),
      merDb: null,
      cnrDb: null,
      berPre: null,
      berPost: null,
      lostMhz: [],
    },
    frame,
  );
}

test('a planned line-up change is no change of level, tilt or flatness', () => {
  const before = observed(9, 20);
  const after = observed(11, 14);
  expect(before.features!.level).toBeCloseTo(0, 6);
  expect(after.features!.level).toBeCloseTo(0, 6);
  expect(after.features!.tilt).toBeCloseTo(0, 6);
  expect(after.flatnessDb).toBeCloseTo(before.flatnessDb!, 6);
});

test('the same change without a plan for it is one', () => {
  const unplanned = observed(9, 14);
  expect(unplanned.flatnessDb! - observed(9, 20).flatnessDb!).toBeGreaterThan(3);
});

test('there is no reference before the first baseline takes effect', () => {
  expect(compareAt(CONTEXT, 1, FREQ_MHZ, DAY_MS).reference).toBeNull();
  expect(compareAt(CONTEXT, 1, FREQ_MHZ, 3 * DAY_MS).reference?.baselineVersion).toBe(1);
});

test('the level limit is that of the channel nearest to its own', () => {
  const { reference } = compareAt(CONTEXT, 1, FREQ_MHZ, 3 * DAY_MS);
  const own = CONTEXT.limitSet.limits.find(
    ({ quantity, modulation }) => quantity === 'level' && modulation !== 'analogue',
  );
  const level = reference!.limits.find(({ metric }) => metric === 'level')!;
  // Channel 5 of the band lies 1 dB below the others, so mid band may fall by 1 dB less.
  expect(level.min).toBeCloseTo(own!.min! + 1, 6);
});

test('frames are made once', () => {
  const frame = compareAt(CONTEXT, 1, FREQ_MHZ, 5 * DAY_MS);
  expect(compareAt(CONTEXT, 1, FREQ_MHZ, 6 * DAY_MS)).toBe(frame);
});
