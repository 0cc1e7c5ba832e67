import { setTimeout as sleep } from 'node:timers/promises';
import type { ProbeRuns, ProbeRunView, ReadingAsked } from '../../schemas/probes.ts';

const LOOK_EVERY_MS = 1000;
/** Longer than any time-out of a probe. */
const GIVE_UP_MS = 180_000;

export interface ReadingRequest {
  /** The server's address, without a slash at its end. */
  readonly url: string;
  /** An automation token of a technician or more. */
  readonly token: string;
  readonly siteId: number;
  readonly probeId: number;
}

/**
 * Has the server read a probe now, and answers the run that came of it; null when no server took it up within three minutes. Throws an
 * Error in a person's words when the server refuses.
 */
export async function askServer(
  request: ReadingRequest,
  fetched: typeof fetch = fetch,
  lookEveryMs = LOOK_EVERY_MS,
): Promise<ProbeRunView | null> {
  const { askedAt } = await send<ReadingAsked>(request, 'POST', 'readings', fetched);
  for (let waitedMs = 0; waitedMs < GIVE_UP_MS; waitedMs += lookEveryMs) {
    await sleep(lookEveryMs);
    const { runs } = await send<ProbeRuns>(request, 'GET', 'runs?limit=1', fetched);
    const [run] = runs;
    if (run !== undefined && run.endedAt >= askedAt) return run;
  }
  return null;
}

async function send<T>(
  { url, token, siteId, probeId }: ReadingRequest,
  method: string,
  what: string,
  fetched: typeof fetch,
): Promise<T> {
  const address = `${url}/api/sites/${siteId}/probes/${probeId}/${what}`;
  const answer = await fetched(address, { method, headers: { authorization: `Bearer ${token}` } });
  if (answer.ok) return (await answer.json()) as T;
  const body = (await answer.json().catch(() => null)) as {
    error?: { message: string; action: string };
  } | null;
  const { message, action } = body?.error ?? {
    message: `it answered ${answer.status}`,
    action: 'check the address',
  };
  throw new Error(`the server refused: ${message}\n→ ${action}`);
}
