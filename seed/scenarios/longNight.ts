import type { Scenario } from './scenario.ts';

export const longNight: Scenario = {
  name: 'longNight',
  story: 'The building had no power for nine hours, 25 days ago, and came back as it was.',
  isFault: true,
  sites: ['Tidepool School'],
  faults: [
    {
      cause: 'power off',
      shape: { kind: 'outage' },
      place: { hopTo: 'amplifier', end: 'exit' },
      onsetDaysAgo: 25.2,
      endDaysAgo: 24.82,
      sizeDb: 0,
      overDays: 0,
    },
  ],
};
