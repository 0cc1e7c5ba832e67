import { z } from '@hono/zod-openapi';
import { httpMappingSchema } from '../../ingest/probe/http/httpMapping.ts';
import { headerNameFault, httpAddressFault } from '../../ingest/probe/http/httpTarget.ts';

/** Settings are shown to everyone who may look, so no secret may stand in the address. */
const SECRET_PARAMETER = /key|token|secret|passw|auth/i;

const Url = z
  .string()
  .trim()
  .max(1000)
  .superRefine((address, context) => {
    const fault = httpAddressFault(address) ?? secretFault(address);
    if (fault !== null) context.addIssue({ code: 'custom', message: fault });
  });

function secretFault(address: string): string | null {
  const name = [...new URL(address).searchParams.keys()].find((key) => SECRET_PARAMETER.test(key));
  return name === undefined
    ? null
    : `has ${name}, which looks like a secret, and addresses are shown to everyone: give it as a header, or let the agent on site read this instrument`;
}

const HeaderName = z
  .string()
  .trim()
  .min(1)
  .max(80)
  .superRefine((name, context) => {
    const fault = headerNameFault(name);
    if (fault !== null) context.addIssue({ code: 'custom', message: fault });
  });

/** What the instrument asks for before it answers: nothing, a user with a password (RFC 7617), or headers, whose values are secrets. */
const Access = z.discriminatedUnion('by', [
  z.object({ by: z.literal('nothing') }),
  z.object({
    by: z.literal('password'),
    user: z
      .string()
      .min(1)
      .max(64)
      .regex(/^[^:\p{Cc}]+$/u, 'must hold neither a colon nor control characters'),
  }),
  z.object({
    by: z.literal('headers'),
    names: z
      .array(HeaderName)
      .min(1)
      .max(4)
      .refine((names) => new Set(names.map((name) => name.toLowerCase())).size === names.length, {
        error: 'has the same name twice: leave one out',
      }),
  }),
]);

const Mapping = httpMappingSchema.refine(
  ({ columns }) => Object.values(columns).every((name) => typeof name !== 'number'),
  { path: ['columns'], error: 'has a field by its number: name it as the JSON does' },
);

/** Sweeps of the ingest contract, or records whose fields a mapping names. */
const Format = z.discriminatedUnion('is', [
  z.object({ is: z.literal('contract') }),
  z.object({
    is: z.literal('records'),
    /** Where in the answer the list of records stands, such as "scan.channels"; null: the answer is the list. */
    rows: z.string().trim().min(1).max(200).nullable().default(null),
    mapping: Mapping,
  }),
]);

export const HttpSettingsSchema = z.object({
  /** Asked by GET. */
  url: Url,
  /** What sweeps that name no instrument call it; null takes its address. */
  instrument: z.string().trim().min(1).max(80).nullable().default(null),
  access: Access.default({ by: 'nothing' }),
  format: Format,
});
export type HttpSettings = z.output<typeof HttpSettingsSchema>;
export type HttpSettingsInput = z.input<typeof HttpSettingsSchema>;

/** The password, or the values of headers by their names. Kept sealed; never answered again. */
export const HttpSecretsSchema = z.record(z.string().max(80), z.string().max(4096));
