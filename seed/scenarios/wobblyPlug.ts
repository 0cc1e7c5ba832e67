import type { Scenario } from './scenario.ts';

export const wobblyPlug: Scenario = {
  name: 'wobblyPlug',
  story: 'A connector that is not tight drops the far block by 6 dB for minutes at a time, since ten days.',
  isFault: true,
  sites: ['Camp Stonebridge Barracks'],
  faults: [
    {
      cause: 'loose connector',
      shape: { kind: 'loose-contact', share: 0.06, spellMinutes: 20 },
      place: { hopTo: 'far-amp', end: 'entry' },
      onsetDaysAgo: 10,
      endDaysAgo: null,
      sizeDb: -6,
      overDays: 0,
    },
  ],
};
