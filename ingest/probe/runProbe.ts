import { setTimeout as sleep } from 'node:timers/promises';
import { type ContractSweep, contractSweep } from './contractSweep.ts';
import type { Driver } from './driver.ts';
import { ProbeError } from './probeError.ts';
import type { IngestAnswer } from './sendSweeps.ts';

export interface ProbeDeps {
  readonly driver: Driver;
  readonly point: string;
  readonly send: (sweeps: readonly ContractSweep[], signal: AbortSignal) => Promise<IngestAnswer>;
  /** One line for a person. */
  readonly say: (line: string) => void;
}

/** Pauses before the second and the third try to send; the server's own wish comes first, up to a minute. */
const RETRY_PAUSES_MS = [2_000, 10_000] as const;
const LONGEST_PAUSE_MS = 60_000;
/** A week of quarter hours. */
const MOST_WAITING = 672;
const SWEEPS_PER_REQUEST = 50;

/**
 * One sweep, sent and acknowledged. Tries the server up to three times. Throws a ProbeError; a rejected
 * sweep is one of kind `refused`.
 */
export async function runOnce(
  deps: ProbeDeps,
  signal: AbortSignal,
  pausesMs: readonly number[] = RETRY_PAUSES_MS,
) {
  const sweep = contractSweep(deps.point, await deps.driver.read(signal));
  for (let attempt = 0; ; attempt++) {
    try {
      const [rejection] = report(deps, [sweep], await deps.send([sweep], signal));
      if (rejection !== undefined) throw rejection;
      return;
    } catch (error) {
      const pauseMs = pausesMs[attempt];
      if (!isUnavailable(error) || pauseMs === undefined) throw error;
      deps.say(`${error.message}; trying again`);
      await sleep(Math.min(error.retryAfterMs ?? pauseMs, LONGEST_PAUSE_MS), undefined, { signal });
    }
  }
}

/**
 * A sweep now and one each `intervalMs` after, until the signal aborts. What the server can't take yet
 * waits in memory, up to a week of quarter hours, and goes along with the next sweep; a reading or a sweep
 * that fails is told and the run goes on. Throws only when the server refuses the key or the request.
 */
export async function runEvery(deps: ProbeDeps, intervalMs: number, signal: AbortSignal): Promise<void> {
  const waiting: ContractSweep[] = [];
  const startMs = performance.now();
  while (!signal.aborted) {
    try {
      waiting.push(contractSweep(deps.point, await deps.driver.read(signal)));
      dropOldest(deps, waiting);
      await sendWaiting(deps, waiting, signal);
    } catch (error) {
      if (signal.aborted) break;
      if (!(error instanceof ProbeError) || error.kind === 'refused') throw error;
      deps.say(`${error.message}: ${error.action}`);
      if (waiting.length > 0) deps.say(`${waiting.length} unsent, kept in memory`);
    }
    const elapsedMs = performance.now() - startMs;
    const restMs = intervalMs - (elapsedMs % intervalMs);
    await sleep(restMs, undefined, { signal }).catch(() => {});
  }
  if (waiting.length > 0) deps.say(`stopped; ${waiting.length} unsent and lost with this process`);
}

async function sendWaiting(deps: ProbeDeps, waiting: ContractSweep[], signal: AbortSignal): Promise<void> {
  while (waiting.length > 0) {
    const batch = waiting.slice(0, SWEEPS_PER_REQUEST);
    const rejections = report(deps, batch, await deps.send(batch, signal));
    waiting.splice(0, batch.length);
    for (const rejection of rejections) deps.say(`${rejection.message}: ${rejection.action}`);
  }
}

function dropOldest(deps: ProbeDeps, waiting: ContractSweep[]): void {
  while (waiting.length > MOST_WAITING) {
    deps.say(
      `the sweep of ${waiting.shift()?.at} was never sent and is dropped: ${MOST_WAITING} newer ones wait`,
    );
  }
}

/** Says what was taken; returns an error for each sweep that was not. */
function report(deps: ProbeDeps, sweeps: readonly ContractSweep[], answer: IngestAnswer): ProbeError[] {
  const newest = sweeps.at(-1);
  if (answer.accepted > 0) {
    deps.say(
      `${answer.accepted} accepted for ${deps.point}, newest ${newest?.at}, ${newest?.freq_mhz.length} channels`,
    );
  }
  if (answer.duplicates > 0) deps.say(`${answer.duplicates} already known to the server`);
  return answer.rejected.map(({ index, path, reason }) => {
    const at = sweeps[index]?.at ?? `number ${index}`;
    return new ProbeError(
      'refused',
      `the server rejected the sweep of ${at}: ${path}: ${reason}`,
      mend(path),
    );
  });
}

function mend(path: string): string {
  if (/(^|\.)point$/.test(path)) {
    return 'give --point the name of a test point at the site that the key belongs to, or add the point on the site’s page';
  }
  if (/(^|\.)at$/.test(path)) return 'check this machine’s clock and time synchronisation';
  if (/(^|\.)instrument$/.test(path)) return 'give the modem another name by --instrument';
  return 'npm run probe -- --print … shows the sweep as read';
}

function isUnavailable(error: unknown): error is ProbeError {
  return error instanceof ProbeError && error.kind === 'unavailable';
}
