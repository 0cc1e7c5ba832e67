import type { Scenario } from './scenario.ts';

export const quietBox: Scenario = {
  name: 'quietBox',
  story: 'The probe stopped reporting three days ago; nobody knows what the building sees.',
  isFault: true,
  sites: ['Aspenholt School'],
  faults: [
    {
      cause: 'probe dead',
      shape: { kind: 'silence' },
      place: { hopTo: 'handoff', end: 'entry' },
      onsetDaysAgo: 3,
      endDaysAgo: null,
      sizeDb: 0,
      overDays: 0,
    },
  ],
};
