import { z } from 'zod';

/** One report is a few kilobytes; more is no report. */
export const AGENT_REPORT_LIMITS = { maxBytes: 64 * 1024, probes: 200, thinned: 200 } as const;

/** The store takes neither NUL nor half a character. */
const Text = z.string().refine((text) => !text.includes('\0') && text.isWellFormed(), 'must be plain text');
const Name = Text.trim().min(1).max(120);
/** Messages are for people: what is too long is cut. */
const Words = z.string().transform((text) => text.replaceAll('\0', '').slice(0, 1000).toWellFormed());
const Instant = z.iso.datetime().nullable();
const Count = z.number().int().min(0).max(Number.MAX_SAFE_INTEGER);
const Seconds = z.number().min(-1e10).max(1e10);
const Trouble = z.object({ at: Instant, message: Words, action: Words }).nullable();

/**
 * An agent's heartbeat, the same as it keeps in `status.json`: times in ISO 8601 UTC, null for what has not been. Fields that a later
 * agent adds are left out.
 */
export const AgentReportSchema = z.object({
  version: Text.max(60),
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
          leftOver: Text.max(60),
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
        driver: Text.max(60),
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
