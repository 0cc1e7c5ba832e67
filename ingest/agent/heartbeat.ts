import type { AgentReport } from '../contract/agentReport.ts';
import { type IngestServer, ingestRequest } from '../probe/ingestRequest.ts';
import { ProbeError } from '../probe/probeError.ts';

/** Told at least this often, so that the server knows a silent agent from a quiet one. */
export const HEARTBEAT_EVERY_MS = 5 * 60_000;
/** What changes is told no sooner than this after the last one: the server has sweeps to take. */
const SOONEST_MS = 30_000;
/** A server that doesn't know heartbeats is asked again this often: it may be a newer one by then. */
const UNKNOWN_PAUSE_MS = 3_600_000;
const NOT_FOUND = 404;

/** Sends one heartbeat; false when the server is an older one that knows none. Throws a ProbeError. */
export async function sendHeartbeat(
  server: IngestServer,
  report: AgentReport,
  signal: AbortSignal,
): Promise<boolean> {
  try {
    await ingestRequest(server, 'ingest/heartbeat', report, signal);
    return true;
  } catch (error) {
    if (error instanceof ProbeError && error.status === NOT_FOUND) return false;
    throw error;
  }
}

export interface HeartbeatDeps {
  readonly send: (report: AgentReport, signal: AbortSignal) => Promise<boolean>;
  readonly uptimeMs: () => number;
}

/**
 * Tells the server how the agent does: every few minutes, and soon after something has changed. A heartbeat that fails is let go, since
 * the next tells more; the sender tells of a server that can't be reached.
 */
export function createHeartbeat({ send, uptimeMs }: HeartbeatDeps) {
  let nextMs = Number.NEGATIVE_INFINITY;
  let soonestMs = Number.NEGATIVE_INFINITY;
  let told = '';
  return {
    /** Sends `report` when it is time; `mark` differs when there is something new to tell. */
    async beat(report: () => AgentReport, mark: string, signal: AbortSignal): Promise<void> {
      const nowMs = uptimeMs();
      if (nowMs < soonestMs || (nowMs < nextMs && mark === told)) return;
      nextMs = nowMs + HEARTBEAT_EVERY_MS;
      soonestMs = nowMs + SOONEST_MS;
      told = mark;
      try {
        if (!(await send(report(), signal))) soonestMs = nextMs = nowMs + UNKNOWN_PAUSE_MS;
      } catch (error) {
        if (!(error instanceof ProbeError)) throw error;
      }
    },
  };
}
