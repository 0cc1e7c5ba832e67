import type { Scenario } from './scenario.ts';

export const silentModulator: Scenario = {
  name: 'silentModulator',
  story:
    "The hotel's own information channel went dark two days ago: one modulator, every other channel as before.",
  isFault: true,
  sites: ['Redmesa Lodge Hotel'],
  faults: [
    {
      cause: 'modulator off',
      shape: { kind: 'channels-lost', channels: ['98'] },
      place: { hopTo: 'amplifier', end: 'exit' },
      onsetDaysAgo: 2.1,
      endDaysAgo: null,
      sizeDb: 0,
      overDays: 0,
    },
  ],
};
