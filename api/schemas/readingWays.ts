import { z } from '@hono/zod-openapi';

const Words = (longest: number) => z.string().trim().min(1).max(longest);

/** How the readings of a point come. No secret stands here: those go into a file on the box itself. */
export const ReadingWaySchema = z.discriminatedUnion('way', [
  /** An agent on site reads a cable modem by SNMP; with `user` it is SNMP v3, else v2c. */
  z.object({ way: z.literal('agent-modem'), host: Words(255), user: z.string().trim().max(64).default('') }),
  /** An agent on site runs a program that prints a sweep. */
  z.object({ way: z.literal('agent-command'), program: Words(500) }),
  /** An agent on site watches a folder that a meter exports into. */
  z.object({
    way: z.literal('agent-folder'),
    folder: Words(500),
    instrument: Words(120),
    /** `contract`: files of sweeps as the server takes them; `csv`: a meter's own table, for which a mapping is still to be written. */
    format: z.enum(['csv', 'contract']).default('csv'),
  }),
  /** This server reads the instrument itself, over the network. */
  z.object({ way: z.literal('server') }),
  /** A program of the company's own posts sweeps with the site key. */
  z.object({ way: z.literal('script') }),
  /** A person reads a meter and types the figures in. */
  z.object({ way: z.literal('typed') }),
]);
export type ReadingWay = z.infer<typeof ReadingWaySchema>;
export type ReadingWayInput = z.input<typeof ReadingWaySchema>;

export const AgentConfigSchema = z.object({
  /** The whole file, ready to be saved as agent.json; null while no point is read by an agent. */
  text: z.string().nullable(),
  /** Titles of the points that it reads. */
  reads: z.array(z.string()),
  /** What a person still has to know or do before it runs. */
  notes: z.array(z.string()),
  /** Points that send by a program of one's own: what to post, ready for a shell. */
  curl: z.string().nullable(),
});
export type AgentConfigView = z.infer<typeof AgentConfigSchema>;
