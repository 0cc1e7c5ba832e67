import type { Scenario } from './scenario.ts';

export const hissingAmplifier: Scenario = {
  name: 'hissingAmplifier',
  story:
    'MER sinks while the level stays: the gear itself makes noise, and the wards are days from pixelating.',
  isFault: true,
  sites: ['Greywether Infirmary'],
  faults: [
    {
      cause: 'amplifier noise',
      shape: { kind: 'noise' },
      place: { hopTo: 'gear-out', end: 'exit' },
      onsetDaysAgo: 26,
      endDaysAgo: null,
      sizeDb: -6.4,
      overDays: 40,
    },
  ],
};
