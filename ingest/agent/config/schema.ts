import { z } from 'zod';
import { AUTH_PROTOCOLS, PRIV_PROTOCOLS } from '../../probe/modem/snmpTarget.ts';
import { SHORTEST_PASSWORD, SNMP_PORT } from '../../probe/options.ts';
import { cronFault } from '../../schedule/cronFault.ts';
import { duration, size, text, whole, zone } from './fields.ts';
import { csvSchema, mappingSchema } from './mapping.ts';

export { SHORTEST_PASSWORD };

const cron = z.string({ error: () => 'give a cron expression of five fields, such as "*/15 * * * *"' });

/** What every probe has, whatever it reads. */
const common = {
  point: text('give the test point’s name at the site, such as "handoff"'),
  /** What sweeps call the instrument. */
  instrument: text('give the instrument a name, such as "meter-3"').optional(),
  every: duration('30s', '24h').optional(),
  cron: cron.optional(),
  /** Share of the time between two readings that probes are spread over. */
  spread: z
    .number({ error: () => 'give a share from 0 to 0.5' })
    .min(0, { error: 'give a share from 0 to 0.5' })
    .max(0.5, { error: 'give a share from 0 to 0.5' })
    .default(0.25),
  timeout: duration('1s', '30m').prefault('90s'),
  /** Least time between two readings of the same instrument. */
  floor: duration('1s', '24h').prefault('10s'),
};

const variable = (name: string) =>
  z
    .string()
    .regex(/^[A-Za-z_]\w*$/, { error: 'give the name of a variable; the secret itself does not belong here' })
    .default(name);

const modem = z.strictObject({
  driver: z.literal('modem'),
  ...common,
  host: text('give the modem’s address, such as "192.0.2.10"'),
  port: whole(1, 65_535).default(SNMP_PORT),
  /** SNMP v3; without a user it is v2c. */
  user: text('give the SNMP v3 user’s name').optional(),
  auth: z.enum(AUTH_PROTOCOLS, { error: () => `give one of ${AUTH_PROTOCOLS.join(', ')}` }).optional(),
  priv: z.enum(PRIV_PROTOCOLS, { error: () => `give one of ${PRIV_PROTOCOLS.join(', ')}` }).optional(),
  communityVariable: variable('LEVELKEEP_COMMUNITY'),
  authPasswordVariable: variable('LEVELKEEP_AUTH_PASSWORD'),
  privPasswordVariable: variable('LEVELKEEP_PRIV_PASSWORD'),
});

const command = z.strictObject({
  driver: z.literal('command'),
  ...common,
  program: text('give the program’s path'),
  arguments: z.array(z.string(), { error: () => 'give a list of texts, one an argument' }).default([]),
  /** Folder that it runs in; the config's own without it. */
  folder: text('give a folder').optional(),
});

const folder = z.strictObject({
  driver: z.literal('folder'),
  ...common,
  folder: text('give the watched folder'),
  /** Ends of the names of the files that count. */
  endings: z.array(text('give an ending such as ".csv"')).min(1).default(['.csv', '.txt', '.json']),
  /** A file is taken once nobody has written to it for so long. */
  quiet: duration('1s', '1h').prefault('10s'),
  format: z.enum(['csv', 'json', 'contract'], {
    error: () => 'give "csv", "json" (rows of named values) or "contract" (sweeps as the server takes them)',
  }),
  csv: csvSchema.prefault({}),
  /** Where in a JSON file the list of rows stands, such as "scan.channels"; without it the file is the list. */
  rows: text('give the way to the list, such as "scan.channels"').optional(),
  mapping: mappingSchema.optional(),
});

const probe = z
  .discriminatedUnion('driver', [modem, command, folder], {
    error: () => 'give "modem", "command" or "folder"',
  })
  .superRefine((value, context) => {
    const fault = (path: string, message: string) =>
      context.addIssue({ code: 'custom', path: [path], message });
    if ((value.every === undefined) === (value.cron === undefined)) {
      fault('every', 'give either "every", such as "15m", or "cron", such as "*/15 * * * *"');
    }
    if (value.cron !== undefined) {
      const reason = cronFault(value.cron);
      if (reason !== null) fault('cron', `${reason}: give five fields, such as "*/15 * * * *"`);
    }
    if (value.driver === 'modem') {
      if (value.user === undefined && (value.auth ?? value.priv) !== undefined) {
        fault('user', 'is missing: "auth" and "priv" are for SNMP v3');
      }
      if (value.priv !== undefined && value.auth === undefined)
        fault('auth', 'is missing: "priv" needs it as well');
    }
    if (value.driver === 'folder') {
      if (value.format === 'contract' && value.mapping !== undefined) {
        fault('mapping', 'is for "csv" and "json": leave it out');
      }
      if (value.format !== 'contract' && value.instrument === undefined) {
        fault('instrument', 'is missing: name the meter, such as "meter-3"');
      }
      if (value.format !== 'csv' && value.mapping !== undefined && hasNumberedColumn(value.mapping.columns)) {
        fault('mapping', 'has a column by its number: name it as the JSON does');
      }
    }
  });

/** The whole file, as a person writes it. */
export const configSchema = z.strictObject({
  /** What tells this box from others; the machine's name without it. */
  agent: text('give this box a name').optional(),
  zone,
  server: z.strictObject({
    url: z
      .string({ error: () => 'give the server’s address, such as "https://levelkeep.example.com"' })
      .refine((value) => ['http:', 'https:'].includes(URL.parse(value)?.protocol ?? ''), {
        error: 'is no http or https address: give one such as "https://levelkeep.example.com"',
      }),
    /** A file that holds the site key and nothing else. */
    keyFile: text('give the path of the file with the site key').optional(),
    keyVariable: variable('LEVELKEEP_KEY'),
    retry: z
      .strictObject({
        first: duration('1s', '1h').prefault('2s'),
        most: duration('1s', '1h').prefault('5m'),
        /** After the server refused the key. */
        refused: duration('1s', '24h').prefault('10m'),
      })
      .prefault({}),
  }),
  /** A file of NAME=value lines with further secrets. */
  secrets: text('give the path of a file of NAME=value lines').optional(),
  spool: z
    .strictObject({
      folder: text('give the folder for what is unsent').default('spool'),
      limit: size(1e6).prefault('200MB'),
    })
    .prefault({}),
  /** Readings at once. */
  atOnce: whole(1, 64).default(4),
  probes: z.array(probe).min(1, { error: 'is empty: name at least one probe' }),
});

export type ConfigFile = z.output<typeof configSchema>;
export type ProbeConfig = ConfigFile['probes'][number];
export type ModemProbe = z.output<typeof modem>;
export type CommandProbe = z.output<typeof command>;
export type FolderProbe = z.output<typeof folder>;

function hasNumberedColumn(columns: NonNullable<FolderProbe['mapping']>['columns']): boolean {
  return Object.values(columns).some((name) => typeof name === 'number');
}
