import type { Scenario } from './scenario.ts';

export const tiredOutputStage: Scenario = {
  name: 'tiredOutputStage',
  story:
    "The distribution gear's output stage loses gain a little every day; both wards reach the level that the agreement asks for in about ten days.",
  isFault: true,
  sites: ['Saint Odra Hospital'],
  faults: [
    {
      cause: 'amplifier losing gain',
      shape: { kind: 'flat' },
      place: { hopTo: 'gear-out', end: 'exit' },
      onsetDaysAgo: 34,
      endDaysAgo: null,
      sizeDb: -5.6,
      overDays: 46,
    },
  ],
};
