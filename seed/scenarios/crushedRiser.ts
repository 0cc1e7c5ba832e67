import type { Scenario } from './scenario.ts';

export const crushedRiser: Scenario = {
  name: 'crushedRiser',
  story: 'A cable crushed in the high riser eats a narrow notch near 450 MHz that deepens by the day.',
  isFault: true,
  sites: ['Heron Gate Hotel'],
  faults: [
    {
      cause: 'suck-out',
      shape: { kind: 'notch', centreMhz: 447, widthMhz: 30 },
      place: { hopTo: 'outlet-high', end: 'entry' },
      onsetDaysAgo: 21,
      endDaysAgo: null,
      sizeDb: -16,
      overDays: 30,
    },
  ],
};
