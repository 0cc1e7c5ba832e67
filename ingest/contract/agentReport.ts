import { z } from 'zod';

/** One report is a few kilobytes; more is no report. */
export const AGENT_REPORT_LIMITS = { maxBytes: 64 * 1024, probes: 200, thinned: 200 } as const;

const Name = z.string().trim().min(1).max(120);
const Words = z.string().max(1000);
const Instant = z.iso.datetime().nullable();
const Count = z.number().int().min(0).max(Number.MAX_SAFE_INTEGER);
const Seconds = z.number().min(-1e10).max(1e10);
const Trouble = z.object({ at: Instant, message: Words, action: Words }).nullable();

/**
 * An agent's heartbeat, the same as it keeps in `status.json`: times in ISO 8601 UTC, null for what has not been. Fields that a later
 * agent adds are left out.
 */
export const AgentReportSchema = z.object({
  version: z.string().max(60),
  agent: Name,
  startedAt: z.iso.datetime(),
  /** By the agent's own clock. */
  writtenAt: z.iso.datetime(),
  spool: z.object({
    waiting: Count,
    waitingBytes: Count,
    limitBytes: Count,
    oldestAt: Instant,
    inMemory: Count,
    isDiskFull: z.boolean(),
    refused: Count,
    thinned: z
      .array(
        z.object({
          point: Name,
          leftOver: z.string().max(60),
          sweeps: Count,
          from: z.iso.datetime(),
          to: z.iso.datetime(),
        }),
      )
      .max(AGENT_REPORT_LIMITS.thinned),
  }),
  clock: z.object({
    /** The server's clock less the agent's, s; null until the server has answered. */
    serverAheadS: Seconds.nullable(),
    lastCorrection: z.object({ at: Instant, byS: Seconds, sweepsMoved: Count }).nullable(),
  }),
  sending: z.object({ lastSuccessAt: Instant, lastError: Trouble }),
  probes: z
    .array(
      z.object({
        point: Name,
        driver: z.string().max(60),
        nextDueAt: Instant,
        lastSuccessAt: Instant,
        lastSweepAt: Instant,
        lastError: Trouble,
        missed: Count,
      }),
    )
    .max(AGENT_REPORT_LIMITS.probes),
});
export type AgentReport = z.infer<typeof AgentReportSchema>;
