import type { Scenario } from './scenario.ts';

export const swappedProbe: Scenario = {
  name: 'swappedProbe',
  story:
    'The probe was replaced eighteen days ago by one that reads 0.9 dB lower; nothing in the building changed.',
  isFault: false,
  sites: ['Ferry Street Residence'],
  instrumentSwap: { daysAgo: 18, levelBiasDb: -0.7, tiltBiasDb: 0.2, merBiasDb: 0.1 },
};
