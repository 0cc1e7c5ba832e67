import { pruneProbeRuns } from '../probes/pruneRuns.ts';
import type { JobQueue } from './jobQueue.ts';

/** All work that is done in the background, one line a queue. */
export const QUEUES: readonly JobQueue[] = [pruneProbeRuns];
