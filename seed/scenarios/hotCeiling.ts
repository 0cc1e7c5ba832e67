import type { Scenario } from './scenario.ts';

export const hotCeiling: Scenario = {
  name: 'hotCeiling',
  story:
    'The outlet cable runs under a roof that the sun heats: level and tilt swing every afternoon and every summer. No fault.',
  isFault: false,
  sites: ['Drywell Street School', 'Sunstone Care Home'],
  outletCable: 'hot ceiling',
};
