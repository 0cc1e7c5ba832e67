import type { Scenario } from './scenario.ts';

export const staircaseEcho: Scenario = {
  name: 'staircaseEcho',
  story: 'A damaged cable answers with an echo: a ripple of 3 dB runs across the band since sixteen days.',
  isFault: true,
  sites: ['Pinecross Hotel'],
  faults: [
    {
      cause: 'echo from a damaged cable',
      shape: { kind: 'ripple', delayNs: 62 },
      place: { hopTo: 'outlet-low', end: 'entry' },
      onsetDaysAgo: 16,
      endDaysAgo: null,
      sizeDb: 3,
      overDays: 0,
    },
  ],
};
