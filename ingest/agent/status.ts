import { renameSync, rmSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import type { AgentReport } from '../contract/agentReport.ts';
import type { ProbeState } from './schedule/runner.ts';
import type { SendingState } from './sender.ts';
import type { SpoolCounts, Thinned } from './spool/spool.ts';

export interface StatusFacts {
  readonly version: string;
  readonly agent: string;
  readonly startedMs: number;
  readonly nowMs: number;
  readonly counts: SpoolCounts;
  readonly limitBytes: number;
  readonly inMemory: number;
  readonly isDiskFull: boolean;
  readonly thinned: readonly Thinned[];
  /** The server's clock less this machine's, ms; null until the server has answered. */
  readonly serverAheadMs: number | null;
  readonly lastCorrection: {
    readonly wallMs: number;
    readonly deltaMs: number;
    readonly sweeps: number;
  } | null;
  readonly sending: SendingState;
  readonly probes: readonly ProbeState[];
}

/** The heartbeat as it stands in `status.json` and goes to the server: times in ISO 8601 UTC, null for what has not been. */
export function statusOf(facts: StatusFacts): AgentReport {
  const { counts, sending, lastCorrection } = facts;
  return {
    version: facts.version,
    agent: facts.agent,
    startedAt: new Date(facts.startedMs).toISOString(),
    writtenAt: new Date(facts.nowMs).toISOString(),
    spool: {
      waiting: counts.waiting,
      waitingBytes: counts.waitingBytes,
      limitBytes: facts.limitBytes,
      oldestAt: iso(counts.oldestAtMs),
      inMemory: facts.inMemory,
      isDiskFull: facts.isDiskFull,
      refused: counts.refused,
      thinned: facts.thinned.map(({ point, leftOver, sweeps, fromMs, toMs }) => ({
        point,
        leftOver,
        sweeps,
        from: new Date(fromMs).toISOString(),
        to: new Date(toMs).toISOString(),
      })),
    },
    clock: {
      serverAheadS: facts.serverAheadMs === null ? null : Math.round(facts.serverAheadMs / 1000),
      lastCorrection: lastCorrection && {
        at: iso(lastCorrection.wallMs),
        byS: lastCorrection.deltaMs / 1000,
        sweepsMoved: lastCorrection.sweeps,
      },
    },
    sending: {
      lastSuccessAt: iso(sending.lastSuccessMs),
      lastError: sending.lastError && {
        at: iso(sending.lastError.atMs),
        message: sending.lastError.error.message,
        action: sending.lastError.error.action,
      },
    },
    probes: facts.probes.map(({ probe, dueMs, lastSuccessMs, lastSweepMs, lastError, missed }) => ({
      point: probe.point,
      driver: probe.driver,
      nextDueAt: iso(dueMs),
      lastSuccessAt: iso(lastSuccessMs),
      lastSweepAt: iso(lastSweepMs),
      lastError: lastError && {
        at: iso(lastError.atMs),
        message: lastError.message,
        action: lastError.action,
      },
      missed,
    })),
  };
}

/** Replaces the file whole, so that whoever reads it never sees half of it. */
export function writeStatus(folder: string, status: AgentReport): void {
  const file = path.join(folder, 'status.json');
  const draft = `${file}.new`;
  try {
    writeFileSync(draft, `${JSON.stringify(status, null, 2)}\n`);
    renameSync(draft, file);
  } catch (error) {
    rmSync(draft, { force: true });
    throw error;
  }
}

function iso(ms: number | null): string | null {
  return ms === null ? null : new Date(ms).toISOString();
}
