import { createHttpDriver } from '../../../ingest/probe/http/httpDriver.ts';
import type { HttpFormat } from '../../../ingest/probe/http/httpReadings.ts';
import { HTTP_PATIENCE } from '../../../ingest/probe/http/httpTarget.ts';
import { HttpSecretsSchema, type HttpSettings, HttpSettingsSchema } from '../../schemas/httpProbe.ts';
import type { ProbeKind, ProbeSecrets } from '../probeKind.ts';

/** Longer than any time-out of a probe, which ends the reading first. */
const PATIENCE = { ...HTTP_PATIENCE, timeoutMs: 150_000 };

/** An instrument that answers a GET with JSON. Its secrets go to the scheme, host and port that they were given for. */
export const httpKind: ProbeKind<HttpSettings> = {
  settingsSchema: HttpSettingsSchema,
  secretsSchema: HttpSecretsSchema,
  host: ({ url }) => hostOf(new URL(url)),
  address: ({ url }) => url,
  instrumentKey: ({ url }) => `http ${new URL(url).origin}`,
  secretFaults: ({ access }, secrets) => {
    const wanted = access.by === 'headers' ? access.names : access.by === 'password' ? ['password'] : [];
    const faults = wanted.map((name) => [name, secretFault(secrets[name])] as const);
    return Object.fromEntries(faults.filter((entry): entry is [string, string] => entry[1] !== null));
  },
  createDriver: ({ settings, secrets, point, timeZone, requireAllowed, now, note }) =>
    createHttpDriver({
      target: { url: new URL(settings.url), headers: headersOf(settings, secrets) },
      format: formatOf(settings),
      point,
      instrument: settings.instrument,
      zone: timeZone,
      // An answer may come from a machine that is none of the person's who reads the error.
      quotesAnswer: false,
      patience: PATIENCE,
      // Each redirect comes by here as well.
      fetch: async (url, init) => {
        await requireAllowed(hostOf(url));
        return fetch(url, init);
      },
      now,
      note,
    }),
};

/** Without the brackets that an address of IPv6 has in a URL. */
function hostOf({ hostname }: URL): string {
  return hostname.replace(/^\[|\]$/g, '');
}

/** What a header's value may hold: RFC 9110, section 5.5. */
const HEADER_VALUE = /^[\x20-\x7e\x80-\xff]*$/;

function secretFault(secret: string | undefined): string | null {
  if (!secret) return 'is missing: give the secret that the instrument asks for';
  return HEADER_VALUE.test(secret) ? null : 'has a character that cannot be sent: type it again';
}

function headersOf({ access }: HttpSettings, secrets: ProbeSecrets): Record<string, string> {
  if (access.by === 'nothing') return {};
  if (access.by === 'headers') return Object.fromEntries(access.names.map((name) => [name, secrets[name]!]));
  const pair = Buffer.from(`${access.user}:${secrets['password']}`).toString('base64');
  return { authorization: `Basic ${pair}` };
}

function formatOf({ format }: HttpSettings): HttpFormat {
  if (format.is === 'contract') return { format: 'contract' };
  return { format: 'records', rows: format.rows ?? undefined, mapping: format.mapping };
}
