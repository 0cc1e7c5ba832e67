import type { Scenario } from './scenario.ts';

export const greenConnector: Scenario = {
  name: 'greenConnector',
  story:
    'A corroded centre contact behaves like a small capacitor: the lowest channels fall, the high ones hold.',
  isFault: true,
  sites: ['Driftwood Primary School'],
  faults: [
    {
      cause: 'corroded contact',
      shape: { kind: 'low-end' },
      place: { hopTo: 'outlet', end: 'entry' },
      onsetDaysAgo: 30,
      endDaysAgo: null,
      sizeDb: -7,
      overDays: 45,
    },
  ],
};
