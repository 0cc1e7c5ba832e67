import { expect, test } from 'vitest';
import { channelStandings } from '../../../api/baseline/channelStanding.ts';
import type { PlanVersion } from '../../../ingest/plan/channelPlan.ts';

const channel = (name: string, centreMhz: number) => ({
  channel: name,
  centreMhz,
  widthMhz: 6,
  modulation: 'qam256' as const,
  services: [],
});
const version = (
  number: number,
  effectiveFromMs: number,
  channels: PlanVersion['channels'],
): PlanVersion => ({
  planId: 1,
  version: number,
  effectiveFromMs,
  note: '',
  channels,
});
const TWO = [channel('2', 57), channel('3', 63)];
const ONE = TWO.slice(0, 1);
const gone = { freqMhz: 63, planned: null, inBaseline: true };

test('a channel has left the plan since the last change that took it away', () => {
  const versions = [
    version(1, 0, TWO),
    version(2, 100, ONE),
    version(3, 200, TWO),
    version(4, 300, ONE),
    version(5, 400, ONE),
  ];
  const [standing] = channelStandings([gone], versions, 50, 500);
  expect(standing).toEqual({ standing: 'left-plan', planned: TWO[1], leftAtMs: 300 });
});

test('a carrier that the baseline lacks, or that no plan knew, is outside the plan', () => {
  const versions = [version(1, 0, TWO), version(2, 100, ONE)];
  const standings = channelStandings(
    [
      { ...gone, inBaseline: false },
      { ...gone, freqMhz: 400 },
      { freqMhz: 57, planned: TWO[0]!, inBaseline: true },
    ],
    versions,
    50,
    500,
  );
  expect(standings.map(({ standing }) => standing)).toEqual(['outside-plan', 'outside-plan', 'planned']);
  expect(channelStandings([gone], versions, null, 500)[0]?.standing).toBe('outside-plan');
  expect(channelStandings([gone], [], 50, 500)[0]?.standing).toBe('outside-plan');
});
