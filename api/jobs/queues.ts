import { ALERT_JOB } from '../alerts/alertJob.ts';
import { SEND_MESSAGE, TELL_PEOPLE } from '../notify/tellPeople.ts';
import { pruneProbeRuns } from '../probes/pruneRuns.ts';
import type { JobQueue } from './jobQueue.ts';

/** All work that is done in the background, one line a queue. */
export const QUEUES: readonly JobQueue[] = [ALERT_JOB, TELL_PEOPLE, SEND_MESSAGE as JobQueue, pruneProbeRuns];
