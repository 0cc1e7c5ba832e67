import type { Scenario } from './scenario.ts';

export const repairedSplitter: Scenario = {
  name: 'repairedSplitter',
  story: 'A wrong splitter cost 3.5 dB for two weeks and was put right 46 days ago: a finding that closed.',
  isFault: true,
  sites: ['Lanternquay Hotel'],
  faults: [
    {
      cause: 'splitter changed',
      shape: { kind: 'flat' },
      place: { hopTo: 'amplifier', end: 'exit' },
      onsetDaysAgo: 60,
      endDaysAgo: 46,
      sizeDb: -3.5,
      overDays: 0,
    },
  ],
};
