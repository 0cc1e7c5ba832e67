import type { ContractSweep } from '../probe/contractSweep.ts';
import { countOf } from '../probe/countOf.ts';
import { ProbeError } from '../probe/probeError.ts';
import type { IngestAnswer } from '../probe/sendSweeps.ts';
import { backOffMs, type RetryPauses } from '../schedule/backOff.ts';
import type { AgentClock } from './clock.ts';
import { isDiskFull, unlessFull } from './spool/isDiskFull.ts';
import type { BatchOutcome, Spool, SpooledSweep } from './spool/spool.ts';

export interface SenderDeps {
  /** In the order in which they are emptied. */
  readonly spools: readonly Spool[];
  readonly send: (sweeps: readonly ContractSweep[], signal: AbortSignal) => Promise<IngestAnswer>;
  readonly clock: AgentClock;
  readonly retry: RetryPauses & { readonly refusedMs: number };
  /** From 0 up to 1. */
  readonly random: () => number;
  readonly say: (line: string) => void;
}

export interface Sender {
  /**
   * Sends one batch. Answers 0 when it went well, the pause before the next try when it didn't, null when nothing
   * waits. Throws the signal's reason when it is aborted.
   */
  sendBatch(signal: AbortSignal): Promise<number | null>;
  readonly state: SendingState;
}

export interface SendingState {
  lastSuccessMs: number | null;
  lastError: { readonly atMs: number; readonly error: ProbeError } | null;
}

const MOST_SWEEPS = 200;
const MOST_BYTES = 1_000_000;
/** Errors of a connection that never came about. */
const UNCONNECTED = new Set(['ECONNREFUSED', 'ENOTFOUND', 'EAI_AGAIN', 'EHOSTUNREACH', 'ENETUNREACH']);

/** Empties spools into the server. A sweep leaves only when the server's answer says what became of it. */
export function createSender({ spools, send, clock, retry, random, say }: SenderDeps): Sender {
  const state: SendingState = { lastSuccessMs: null, lastError: null };
  let failures = 0;
  let mostSweeps = MOST_SWEEPS;

  return {
    state,
    async sendBatch(signal) {
      const next = nextBatch();
      if (next === null) return null;
      const { spool, batch } = next;
      try {
        const outcome = outcomeOf(
          batch,
          await send(
            batch.map(({ sweep }) => sweep),
            signal,
          ),
        );
        spool.settle(outcome, clock.read().wallMs);
        succeeded(batch, outcome);
        return 0;
      } catch (error) {
        signal.throwIfAborted();
        return failed(spool, batch, asProbeError(error));
      }
    },
  };

  /** The first spool that has something and can note that it was tried. */
  function nextBatch(): { spool: Spool; batch: SpooledSweep[] } | null {
    for (const spool of spools) {
      const batch = spool.nextBatch(mostSweeps, MOST_BYTES);
      if (batch.length === 0) continue;
      try {
        spool.markTried(idsOf(batch));
        return { spool, batch };
      } catch (error) {
        if (!isDiskFull(error)) throw error;
        say('the disk takes nothing: what is in the spool stays there until it does');
      }
    }
    return null;
  }

  function succeeded(batch: readonly SpooledSweep[], { stored, rejected }: BatchOutcome): void {
    failures = 0;
    mostSweeps = Math.min(MOST_SWEEPS, mostSweeps * 2);
    state.lastSuccessMs = clock.read().wallMs;
    state.lastError = null;
    if (stored.length > 0)
      say(`${countOf(stored.length, 'sweep')} stored by the server, newest ${batch.at(-1)!.sweep.at}`);
    for (const { id, path, reason } of rejected) {
      const { point, at } = batch.find((sent) => sent.id === id)!.sweep;
      say(`the server rejected the sweep of ${point} at ${at}: ${path}: ${reason}`);
    }
  }

  function failed(spool: Spool, batch: readonly SpooledSweep[], error: ProbeError): number {
    failures += 1;
    if (state.lastError?.error.message !== error.message) say(`${error.message}: ${error.action}`);
    state.lastError = { atMs: clock.read().wallMs, error };
    if (isCertainlyUnstored(error)) unlessFull(() => spool.markUntried(idsOf(batch)));

    // One sweep may be what the server fails on: find it by halves.
    if (error.status === 413 || error.status === 500) {
      if (batch.length > 1) mostSweeps = Math.ceil(batch.length / 2);
      else unlessFull(() => setBehind(spool, batch[0]!, error));
      if (error.status === 413 && batch.length > 1) return 0;
    }
    if (error.kind === 'refused' && error.status !== 413) return retry.refusedMs * (0.9 + 0.2 * random());
    return backOffMs(failures, retry, error.retryAfterMs, random);
  }

  /** Lets the others by: after a failure for a while, for good when it will never fit. */
  function setBehind(spool: Spool, { id }: SpooledSweep, { status }: ProbeError): void {
    if (status === 500) {
      spool.putBack(id);
      return;
    }
    const reason = 'the server, or a proxy before it, finds this sweep too large';
    spool.settle({ stored: [], rejected: [{ id, path: '', reason }] }, clock.read().wallMs);
    failures = 0;
  }
}

/**
 * Which of a batch the server has, and which it will not have. Throws a ProbeError of kind `unavailable` when the
 * answer doesn't account for every sweep.
 */
export function outcomeOf(batch: readonly SpooledSweep[], answer: IngestAnswer): BatchOutcome {
  const refused = new Map(answer.rejected.map((rejection) => [rejection.index, rejection]));
  const accounted = answer.accepted + answer.duplicates + answer.rejected.length;
  const isWhole =
    accounted === batch.length &&
    refused.size === answer.rejected.length &&
    [...refused.keys()].every((index) => batch[index] !== undefined);
  if (!isWhole) {
    throw new ProbeError(
      'unavailable',
      `the server’s answer tells of ${countOf(accounted, 'sweep')}, not of the ${batch.length} sent`,
      'they are kept and sent again; if it stays, look at what stands between here and the server',
    );
  }
  return {
    stored: idsOf(batch.filter((_, index) => !refused.has(index))),
    rejected: answer.rejected.map(({ index, path, reason }) => ({ id: batch[index]!.id, path, reason })),
  };
}

function idsOf(batch: readonly SpooledSweep[]): number[] {
  return batch.map(({ id }) => id);
}

function isCertainlyUnstored({ kind, status, cause }: ProbeError): boolean {
  if (kind === 'usage') return true;
  if (status !== null) return status >= 300 && status < 500;
  const reason = cause instanceof Error ? cause.cause : undefined;
  const first = reason instanceof AggregateError ? reason.errors[0] : reason;
  return first instanceof Error && 'code' in first && UNCONNECTED.has(String(first.code));
}

function asProbeError(error: unknown): ProbeError {
  if (error instanceof ProbeError) return error;
  if (!isDiskFull(error)) throw error;
  return new ProbeError(
    'unavailable',
    'the server has the sweeps, but the full disk can’t note that',
    'make room; until then they are sent again, which does no harm',
    { cause: error },
  );
}
