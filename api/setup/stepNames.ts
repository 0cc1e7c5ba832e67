/** The steps of setting up a site, in the order in which a person takes them. */
export const SETUP_STEPS = [
  'site',
  'plan',
  'points',
  'ways',
  'key',
  'readings',
  'baseline',
  'turnover',
] as const;
export type SetupStep = (typeof SETUP_STEPS)[number];
