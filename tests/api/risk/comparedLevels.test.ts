import { expect, test } from 'vitest';
import { comparedLevels } from '../../../api/risk/comparedLevels.ts';
import type { Modulation, PlanVersion } from '../../../ingest/plan/channelPlan.ts';

const channel = (name: string, centreMhz: number, modulation: Modulation = 'qam256') => ({
  channel: name,
  centreMhz,
  widthMhz: 6,
  modulation,
  services: [],
});
const before = [channel('2', 57), channel('3', 63), channel('4', 69)];
const after = [channel('2', 57), channel('3', 63, 'qam64')];
const versions: PlanVersion[] = [before, after].map((channels, i) => ({
  planId: 1,
  version: i + 1,
  effectiveFromMs: 1000 * i,
  note: '',
  channels,
}));
const baseline = {
  to_at: new Date(500),
  freq_hz: [57e6, 63e6, 69e6, 400e6],
  level_cdbmv: [1000, 1100, 1200, null],
};

test('a line-up change leaves only what the plan holds unchanged to compare', () => {
  expect([...comparedLevels(baseline, versions, 900)]).toEqual([
    [57e6, 10],
    [63e6, 11],
    [69e6, 12],
  ]);
  expect([...comparedLevels(baseline, versions, 1000)]).toEqual([[57e6, 10]]);
});

test('without a plan every carrier is compared', () => {
  expect(comparedLevels(baseline, [], 1000).size).toBe(3);
});
