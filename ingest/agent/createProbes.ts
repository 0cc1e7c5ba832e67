import path from 'node:path';
import type { HttpFormat } from '../probe/http/httpReadings.ts';
import { createModemDriver } from '../probe/modem/modemDriver.ts';
import type { SnmpAccess } from '../probe/modem/snmpTarget.ts';
import { ProbeError } from '../probe/probeError.ts';
import type { Environment } from '../probe/secrets.ts';
import { createSchedule } from '../schedule/schedule.ts';
import { stableShare } from '../schedule/stableShare.ts';
import type { AgentClock } from './clock.ts';
import type { AgentConfig } from './config/readConfig.ts';
import { type HttpProbe, type ModemProbe, type ProbeConfig, SHORTEST_PASSWORD } from './config/schema.ts';
import { createFolderSource } from './folder/folderSource.ts';
import type { RunnerProbe } from './schedule/runner.ts';
import type { Source } from './source.ts';
import { createCommandSource } from './sources/commandSource.ts';
import { driverSource } from './sources/driverSource.ts';
import { createHttpSource } from './sources/httpSource.ts';

/**
 * The config's probes, ready to be read. Throws a ProbeError of kind `usage` when a secret is missing. `say` takes
 * what a driver has to tell.
 */
export function createProbes(
  config: AgentConfig,
  clock: AgentClock,
  say: (line: string) => void,
): RunnerProbe[] {
  return config.probes.map((probe, i) => ({
    point: probe.point,
    driver: probe.driver,
    instrumentKey: instrumentKeyOf(probe, config.home),
    schedule: createSchedule({
      rule:
        probe.every === undefined
          ? { kind: 'cron', expression: probe.cron! }
          : { kind: 'every', intervalMs: probe.every },
      zone: config.zone,
      place: stableShare(config.agent, probe.point, instrumentKeyOf(probe, config.home)),
      spread: probe.spread,
    }),
    source: createSource(probe, `probes[${i}]`, config, clock, (line) => say(`${probe.point}: ${line}`)),
    timeoutMs: probe.timeout,
    floorMs: probe.floor,
  }));
}

function instrumentKeyOf(probe: ProbeConfig, home: string): string {
  if (probe.driver === 'modem') return `modem ${probe.host.toLowerCase()}:${probe.port}`;
  if (probe.driver === 'http') return `http ${new URL(probe.url).host}`;
  if (probe.driver === 'folder') return `folder ${path.resolve(home, probe.folder)}`;
  return `command ${probe.instrument ?? [probe.program, ...probe.arguments].join(' ')}`;
}

function createSource(
  probe: ProbeConfig,
  where: string,
  { home, zone, secrets }: AgentConfig,
  clock: AgentClock,
  note: (line: string) => void,
): Source {
  const instrument = probe.instrument ?? null;
  switch (probe.driver) {
    case 'modem': {
      const target = { host: probe.host, port: probe.port, access: accessOf(probe, where, secrets) };
      const once = noteOnce(note);
      const spectrum = probe.spectrum ?? null;
      return driverSource(
        (now) => createModemDriver({ target, instrument, spectrum, now, note: once }),
        clock,
      );
    }
    case 'command': {
      const { program, arguments: args, point } = probe;
      const folder = path.resolve(home, probe.folder ?? '.');
      return createCommandSource({ program, args, folder, point, instrument, clock });
    }
    case 'folder': {
      const { endings, quiet: quietMs } = probe;
      const folder = path.resolve(home, probe.folder);
      return createFolderSource({ folder, endings, quietMs, format: probe, instrument, zone, clock });
    }
    case 'http': {
      const { point } = probe;
      const target = { url: new URL(probe.url), headers: headersOf(probe, where, secrets) };
      const options = { target, format: formatOf(probe), point, instrument, zone, quotesAnswer: true };
      return createHttpSource(options, clock);
    }
  }
}

function formatOf({ format, rows, mapping }: HttpProbe): HttpFormat {
  return format === 'contract' || mapping === undefined
    ? { format: 'contract' }
    : { format: 'records', rows, mapping };
}

function headersOf({ headers, headerVariables }: HttpProbe, where: string, secrets: Environment) {
  const secret = Object.entries(headerVariables).map(([name, variable]) => [
    name,
    secretOf(secrets, variable, `${where}.headerVariables.${name}`),
  ]);
  return { ...headers, ...Object.fromEntries(secret) } as Record<string, string>;
}

/** What a driver tells at each reading is news only when it is new. */
function noteOnce(note: (line: string) => void): (line: string) => void {
  const told = new Set<string>();
  return (line) => {
    if (told.has(line)) return;
    told.add(line);
    note(line);
  };
}

function accessOf(probe: ModemProbe, where: string, secrets: Environment): SnmpAccess {
  if (probe.user === undefined) {
    return {
      version: '2c',
      community: secretOf(secrets, probe.communityVariable, `${where}.communityVariable`),
    };
  }
  const { auth, priv, user } = probe;
  return {
    version: '3',
    user,
    auth:
      auth === undefined
        ? null
        : { protocol: auth, password: passwordOf(probe, 'authPasswordVariable', where, secrets) },
    priv:
      priv === undefined
        ? null
        : { protocol: priv, password: passwordOf(probe, 'privPasswordVariable', where, secrets) },
  };
}

function passwordOf(
  probe: ModemProbe,
  field: 'authPasswordVariable' | 'privPasswordVariable',
  where: string,
  secrets: Environment,
): string {
  const password = secretOf(secrets, probe[field], `${where}.${field}`);
  if (password.length >= SHORTEST_PASSWORD) return password;
  throw new ProbeError(
    'usage',
    `${where}.${field}: ${probe[field]} holds ${password.length} characters`,
    `SNMP v3 passwords have at least ${SHORTEST_PASSWORD}`,
  );
}

function secretOf(secrets: Environment, variable: string, field: string): string {
  const secret = secrets[variable];
  if (secret !== undefined && secret !== '') return secret;
  throw new ProbeError(
    'usage',
    `${field}: ${variable} is not set`,
    `set ${variable} in the environment or the secrets file`,
  );
}
