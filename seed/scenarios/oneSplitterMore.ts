import type { Scenario } from './scenario.ts';

export const oneSplitterMore: Scenario = {
  name: 'oneSplitterMore',
  story:
    'Somebody put another splitter before the outlets twelve days ago: every channel fell by 3.6 dB at once.',
  isFault: true,
  sites: ['Juniper Flat School'],
  faults: [
    {
      cause: 'splitter changed',
      shape: { kind: 'flat' },
      place: { hopTo: 'outlet', end: 'entry' },
      onsetDaysAgo: 12.3,
      endDaysAgo: null,
      sizeDb: -3.6,
      overDays: 0,
    },
  ],
};
