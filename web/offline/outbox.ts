import type { NewVisitResult } from '../../api/schemas/visits.ts';
import { post, RequestFailure } from '../client.ts';
import { paths } from '../paths.ts';
import { readStored, writeStored } from './stored.ts';

const KEY = 'levelkeep.visit-results';

/** A result on its way to the server; it leaves the device once the server has answered that it is kept. */
export interface WaitingResult {
  readonly siteId: number;
  readonly result: NewVisitResult;
  /** E-mail of who typed it: nobody else's account sends it. */
  readonly by: string;
  /** What the server said against it; null while it only waits. */
  readonly refusal: string | null;
}

const changes = new EventTarget();

/** Calls `onChange` whenever a result comes in or leaves; answers how to stop. */
export function watchOutbox(onChange: () => void): () => void {
  changes.addEventListener('change', onChange);
  return () => changes.removeEventListener('change', onChange);
}

export function waitingResults(by: string): WaitingResult[] {
  return allWaiting().filter((waiting) => waiting.by === by);
}

/** False when this device can't keep it: then it must be sent at once. */
export function putInOutbox(waiting: WaitingResult): boolean {
  return rewrite([...allWaiting(), waiting]);
}

export function takeOutOfOutbox(resultId: string): void {
  rewrite(allWaiting().filter(({ result }) => result.resultId !== resultId));
}

/**
 * Sends what waits, one by one; what the server refuses stays with its reason. True when something went through. Sending one
 * twice is harmless: the server keeps it once.
 */
export async function sendOutbox(by: string): Promise<boolean> {
  let sent = false;
  for (const { siteId, result } of waitingResults(by)) {
    try {
      await post(paths.siteVisitResults(siteId), result);
      takeOutOfOutbox(result.resultId);
      sent = true;
    } catch (error) {
      if (!(error instanceof RequestFailure) || isPassing(error)) return sent;
      refuse(result.resultId, `${error.message}. What to do: ${error.action}`);
    }
  }
  return sent;
}

/** The server is away, busy, or wants a new sign-in: the result itself may be sound. */
function isPassing({ status }: RequestFailure): boolean {
  return status === 0 || status === 401 || status === 408 || status === 429 || status >= 500;
}

function refuse(resultId: string, refusal: string): void {
  rewrite(
    allWaiting().map((waiting) => (waiting.result.resultId === resultId ? { ...waiting, refusal } : waiting)),
  );
}

const allWaiting = (): WaitingResult[] => readStored<WaitingResult[]>(KEY) ?? [];

function rewrite(results: readonly WaitingResult[]): boolean {
  const kept = writeStored(KEY, results);
  changes.dispatchEvent(new Event('change'));
  return kept;
}
