import type { Logger } from 'pino';
import type { AcceptSweeps } from '../../ingest/acceptSweeps.ts';
import { contractSweep } from '../../ingest/probe/contractSweep.ts';
import type { Driver } from '../../ingest/probe/driver.ts';
import { ProbeError } from '../../ingest/probe/probeError.ts';
import { untilAborted } from '../../ingest/probe/untilAborted.ts';
import type { ClaimedProbe } from './claimDue.ts';
import { MOST_TRIES } from './finishRun.ts';
import type { RunErrorCode, RunResult } from './runResult.ts';
import { tellReading } from './tellReading.ts';

export interface ReadingDeps {
  /** The driver for a probe; throws a ProbeError when there can be none. */
  readonly openDriver: (claimed: ClaimedProbe, note: (line: string) => void) => Promise<Driver>;
  readonly acceptSweeps: AcceptSweeps;
  /** Whether a maintenance window is in force there. */
  readonly isHeld: (claimed: ClaimedProbe, nowMs: number) => Promise<boolean>;
  readonly now: () => number;
  readonly log: Logger;
}

/**
 * Reads the instrument of a claimed probe and stores its sweep; a maintenance window holds what nobody asked for. Never throws but the
 * signal's reason, when it is aborted.
 */
export async function readClaimed(
  deps: ReadingDeps,
  claimed: ClaimedProbe,
  signal: AbortSignal,
): Promise<RunResult> {
  // A reading that takes its server down must not go round all servers for ever.
  if (claimed.tries > MOST_TRIES) return SERVERS_LOST;
  if (claimed.askedBy === null && (await deps.isHeld(claimed, deps.now()))) return { outcome: 'held' };

  const outOfTime = AbortSignal.timeout(claimed.timeoutS * 1000);
  const ended = AbortSignal.any([signal, outOfTime]);
  try {
    return await read(deps, claimed, ended);
  } catch (error) {
    signal.throwIfAborted();
    if (outOfTime.aborted) return outOfTimeAfter(claimed.timeoutS);
    return explain(deps.log, claimed, error);
  }
}

async function read(deps: ReadingDeps, claimed: ClaimedProbe, signal: AbortSignal): Promise<RunResult> {
  const notes: string[] = [];
  const driver = await untilAborted(
    deps.openDriver(claimed, (line) => notes.push(line)),
    signal,
  );
  const sweep = await untilAborted(driver.read(signal), signal);

  const { rejected } = await deps.acceptSweeps(
    claimed.siteId,
    [contractSweep(claimed.point, sweep)],
    deps.now(),
  );
  const [rejection] = rejected;
  if (rejection === undefined)
    return { outcome: 'read', sweeps: 1, told: [tellReading(sweep), ...notes].join('\n') };
  const field = rejection.path.replace(/^sweeps\[0\]\.?/, '');
  return {
    outcome: 'failed',
    code: 'sweep-refused',
    message: `the instrument answered, but its reading was not taken: ${field === '' ? '' : `${field} `}${rejection.reason}`,
    action:
      'look at what the instrument reports; where the clock is named, set the instrument’s or the server’s',
  };
}

const SERVERS_LOST: RunResult = {
  outcome: 'failed',
  code: 'server-lost',
  message: `the server ended while it read this instrument, ${MOST_TRIES} times in a row`,
  action: 'see the servers’ logs around that time; pause the probe if it happens again',
};

function outOfTimeAfter(timeoutS: number): RunResult {
  return {
    outcome: 'failed',
    code: 'out-of-time',
    message: `no reading within ${timeoutS} s`,
    action:
      'look at the instrument and the way to it; a slow one needs a longer time-out in the site’s set-up',
  };
}

function explain(log: Logger, { siteId, probeId }: ClaimedProbe, error: unknown): RunResult {
  if (error instanceof ProbeError) {
    return { outcome: 'failed', code: codeOf(error), message: error.message, action: error.action };
  }
  log.error({ err: error, siteId, probeId }, 'a reading failed in an unforeseen way');
  return {
    outcome: 'failed',
    code: 'unforeseen',
    message: 'the server failed at this reading',
    action: 'see the server’s log; tell your administrator if it stays',
  };
}

function codeOf({ kind }: ProbeError): RunErrorCode {
  if (kind === 'usage') return 'secrets';
  return kind === 'refused' ? 'address' : 'instrument';
}
