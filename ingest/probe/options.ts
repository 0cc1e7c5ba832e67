import { parseArgs } from 'node:util';
import { durationMs } from './duration.ts';
import type { IngestServer } from './ingestRequest.ts';
import { AUTH_PROTOCOLS, PRIV_PROTOCOLS, type SnmpAccess, type SnmpTarget } from './modem/snmpTarget.ts';
import { openWayWarnings } from './openWayWarnings.ts';
import { ProbeError } from './probeError.ts';
import { askFor, type Environment, findSecrets, type Secrets } from './secrets.ts';
import { parseKey } from './siteKey.ts';

export const SNMP_PORT = 161;
/** RFC 3414 asks for no less. */
export const SHORTEST_PASSWORD = 8;
export const SHORTEST_INTERVAL_MS = 30_000;
export const LONGEST_INTERVAL_MS = 24 * 3_600_000;

/** What one run of the probe is asked to do. */
export type ProbeTask =
  | { readonly kind: 'help' }
  | ({ readonly kind: 'print' } & Reading)
  | ({ readonly kind: 'once'; readonly server: IngestServer } & Reading)
  | ({ readonly kind: 'every'; readonly server: IngestServer; readonly intervalMs: number } & Reading);

interface Reading {
  readonly target: SnmpTarget;
  readonly point: string;
  readonly instrument: string | null;
  readonly warnings: readonly string[];
}

/**
 * The task in the words of a command line. Throws a ProbeError of kind `usage` that names the option
 * and says what it should have been.
 */
export function parseTask(args: readonly string[], environment: Environment): ProbeTask {
  const values = parseOptions(args);
  if (values.help) return { kind: 'help' };

  const { secrets, warnings } = findSecrets(values, values.secrets, environment);
  const reading = {
    target: {
      host: required(values.host, '--host', 'give the modem’s address, such as --host 192.0.2.10'),
      port: parsePort(values['snmp-port']),
      access: parseAccess(values, secrets),
    },
    point: required(
      values.point,
      '--point',
      'give the test point’s name at the site, such as --point handoff',
    ),
    instrument: values.instrument ?? null,
    warnings,
  };

  const chosen = [
    values.print && '--print',
    values.once && '--once',
    values.every !== undefined && '--every',
  ];
  const modes = chosen.filter((mode) => typeof mode === 'string');
  if (modes.length > 1) throw usage(`${modes.join(' and ')} exclude one another`, 'keep one of them');
  if (values.print) return { kind: 'print', ...reading };

  const server = parseServer(values.url, secrets);
  const all = { ...reading, warnings: [...warnings, ...openWayWarnings(server.url)] };
  if (values.every === undefined) return { kind: 'once', server, ...all };
  return { kind: 'every', server, intervalMs: parseInterval(values.every), ...all };
}

function parseOptions(args: readonly string[]) {
  try {
    return parseArgs({
      args: [...args],
      options: {
        help: { type: 'boolean', short: 'h' },
        host: { type: 'string' },
        'snmp-port': { type: 'string' },
        community: { type: 'string' },
        user: { type: 'string' },
        auth: { type: 'string' },
        'auth-password': { type: 'string' },
        priv: { type: 'string' },
        'priv-password': { type: 'string' },
        instrument: { type: 'string' },
        point: { type: 'string' },
        url: { type: 'string' },
        key: { type: 'string' },
        secrets: { type: 'string' },
        once: { type: 'boolean' },
        every: { type: 'string' },
        print: { type: 'boolean' },
      },
    }).values;
  } catch (cause) {
    const message = cause instanceof Error ? cause.message : String(cause);
    throw usage(message, 'npm run probe -- --help lists the options', cause);
  }
}

type OptionValues = ReturnType<typeof parseOptions>;

/** A user means v3; without one it is v2c. */
function parseAccess(values: OptionValues, secrets: Secrets): SnmpAccess {
  if (values.user === undefined) {
    const stray = (['auth', 'priv', 'auth-password', 'priv-password'] as const).find(
      (name) => values[name] !== undefined,
    );
    if (stray !== undefined) throw usage(`--${stray} is for SNMP v3, which needs --user`, 'give --user');
    const community = secrets.community;
    if (community === undefined || community === '') {
      throw usage('neither a community (SNMP v2c) nor a --user (v3) is given', askFor('community'));
    }
    return { version: '2c', community };
  }

  if (values.community !== undefined) {
    throw usage('--community is for SNMP v2c and --user for v3', 'keep the one that the modem is set up for');
  }
  const auth =
    values.auth === undefined
      ? null
      : {
          protocol: oneOf(AUTH_PROTOCOLS, values.auth, '--auth'),
          password: parsePassword(secrets, 'auth-password'),
        };
  const priv =
    values.priv === undefined
      ? null
      : {
          protocol: oneOf(PRIV_PROTOCOLS, values.priv, '--priv'),
          password: parsePassword(secrets, 'priv-password'),
        };
  if (priv !== null && auth === null)
    throw usage('--priv needs --auth as well', 'give --auth and its password');
  return { version: '3', user: values.user, auth, priv };
}

function parsePassword(secrets: Secrets, name: 'auth-password' | 'priv-password'): string {
  const password = required(secrets[name], `--${name}`, askFor(name));
  if (password.length < SHORTEST_PASSWORD) {
    throw usage(
      `--${name} has ${password.length} characters`,
      `SNMP v3 passwords have at least ${SHORTEST_PASSWORD}`,
    );
  }
  return password;
}

function parseServer(url: string | undefined, secrets: Secrets): IngestServer {
  const example = 'give the server’s address, such as --url http://127.0.0.1:8620';
  const address = URL.parse(required(url, '--url', example));
  if (address === null || !['http:', 'https:'].includes(address.protocol)) {
    throw usage(`--url: “${url}” is no http or https address`, example);
  }
  return { url: address, key: parseKey(required(secrets.key, '--key', askFor('key')), '--key') };
}

function parsePort(text: string | undefined): number {
  if (text === undefined) return SNMP_PORT;
  const port = Number(text);
  if (Number.isInteger(port) && port >= 1 && port <= 65_535) return port;
  throw usage(`--snmp-port: “${text}” is no port`, 'give a number from 1 to 65535');
}

/** "15m" to milliseconds. */
export function parseInterval(text: string): number {
  const intervalMs = durationMs(text);
  if (intervalMs !== null && intervalMs >= SHORTEST_INTERVAL_MS && intervalMs <= LONGEST_INTERVAL_MS) {
    return intervalMs;
  }
  throw usage(
    `--every: “${text}” is no interval from 30s to 24h`,
    'give a number and s, m or h, such as 15m',
  );
}

function oneOf<T extends string>(known: readonly T[], text: string, option: string): T {
  const found = known.find((name) => name === text.toLowerCase());
  if (found !== undefined) return found;
  throw usage(`${option}: “${text}” is not known`, `it is one of ${known.join(', ')}`);
}

function required(text: string | undefined, option: string, action: string): string {
  if (text !== undefined && text.trim() !== '') return text;
  throw usage(`${option} is missing`, action);
}

function usage(message: string, action: string, cause?: unknown): ProbeError {
  return new ProbeError('usage', message, action, { cause });
}
