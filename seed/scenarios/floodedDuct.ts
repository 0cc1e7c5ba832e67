import type { Scenario } from './scenario.ts';

export const floodedDuct: Scenario = {
  name: 'floodedDuct',
  story:
    'Water creeps into the outdoor cable to the far block: loss grows with the square root of frequency, so the high channels go first.',
  isFault: true,
  sites: ['Fort Ashgrove Quarters'],
  faults: [
    {
      cause: 'water in cable',
      shape: { kind: 'cable' },
      place: { hopTo: 'far-amp', end: 'entry' },
      onsetDaysAgo: 24,
      endDaysAgo: null,
      sizeDb: -9,
      overDays: 40,
    },
  ],
};
