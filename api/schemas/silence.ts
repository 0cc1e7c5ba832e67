import { z } from '@hono/zod-openapi';
import { PUNCTUALITY_KINDS } from '../punctuality/types.ts';
import { Instant } from './common.ts';

/** What is wrong with the coming of a site's sweeps. */
export const TroubleSchema = z.object({
  kind: z.enum(PUNCTUALITY_KINDS),
  pointIds: z.array(z.number()),
  since: Instant,
  sentence: z.string(),
  doFirst: z.string(),
});
export type TroubleView = z.infer<typeof TroubleSchema>;

/** One agent by its newest heartbeat. */
export const AgentSchema = z.object({
  agent: z.string(),
  version: z.string(),
  receivedAt: Instant,
  /** It has missed three reports. */
  isSilent: z.boolean(),
  waiting: z.number(),
  oldestWaitingAt: Instant.nullable(),
  probes: z.array(
    z.object({ point: z.string(), lastSweepAt: Instant.nullable(), error: z.string().nullable() }),
  ),
  /** What it reports beside that, in plain words; `at` is null for what holds now. */
  notes: z.array(z.object({ at: Instant.nullable(), text: z.string() })),
});
export type AgentView = z.infer<typeof AgentSchema>;
