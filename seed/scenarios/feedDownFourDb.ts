import type { Scenario } from './scenario.ts';

export const feedDownFourDb: Scenario = {
  name: 'feedDownFourDb',
  story:
    "The provider's feed dropped by 4 dB thirty hours ago at five buildings of one network: the provider's side, one event.",
  isFault: true,
  sites: [
    'Brackenmoor General Hospital',
    'Mossgate Hotel',
    'Camp Hollin Barracks',
    'Heatherbank Residence',
    'Curlew Road School',
  ],
  faults: [
    {
      cause: 'provider feed low',
      shape: { kind: 'flat' },
      place: 'provider',
      onsetDaysAgo: 1.25,
      endDaysAgo: null,
      sizeDb: -4,
      overDays: 0,
    },
  ],
};
