import type { AlertState } from '../../ingest/store/schema.ts';

/** States in which people are told of an alert. */
export const TOLD_STATES = [
  'active-unacknowledged',
  'active-acknowledged',
  'returned-unacknowledged',
] as const satisfies readonly AlertState[];
