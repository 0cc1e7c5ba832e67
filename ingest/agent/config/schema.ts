import { z } from 'zod';
import { httpMappingSchema } from '../../probe/http/httpMapping.ts';
import { headerNameFault, httpAddressFault } from '../../probe/http/httpTarget.ts';
import { AUTH_PROTOCOLS, PRIV_PROTOCOLS } from '../../probe/modem/snmpTarget.ts';
import { SHORTEST_PASSWORD, SNMP_PORT } from '../../probe/options.ts';
import { cronFault } from '../../schedule/cronFault.ts';
import { duration, size, text, whole, zone } from './fields.ts';
import { csvSchema, mappingSchema } from './mapping.ts';
import { spectrumSchema } from './spectrum.ts';

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

const variableName = z
  .string()
  .regex(/^[A-Za-z_]\w*$/, { error: 'give the name of a variable; the secret itself does not belong here' });
const variable = (name: string) => variableName.default(name);

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
  /** Channels whose levels come from the modem's spectrum table: a stretch of a raster, or a list. */
  spectrum: spectrumSchema.optional(),
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

/** Headers by name. */
const headers = <T extends z.ZodType>(value: T, action: string) =>
  z.record(z.string(), value, { error: () => action }).superRefine((given, context) => {
    for (const name of Object.keys(given)) {
      const fault = headerNameFault(name);
      if (fault !== null) context.addIssue({ code: 'custom', path: [name], message: fault });
    }
  });

const http = z.strictObject({
  driver: z.literal('http'),
  ...common,
  url: z
    .string({ error: () => 'give the instrument’s address, such as "http://192.0.2.20/sweep.json"' })
    .superRefine((value, context) => {
      const fault = httpAddressFault(value);
      if (fault !== null) context.addIssue({ code: 'custom', message: fault });
    }),
  headers: headers(z.string(), 'give names and values of headers').default({}),
  /** Headers whose values are secrets: name of the header to name of the variable. */
  headerVariables: headers(variableName, 'give names of headers, each with the name of a variable').default(
    {},
  ),
  format: z.enum(['records', 'contract'], {
    error: () => 'give "contract" (sweeps as the server takes them) or "records" (a list of named values)',
  }),
  /** Where in the answer the list of records stands, such as "scan.channels"; without it the answer is the list. */
  rows: text('give the way to the list, such as "scan.channels"').optional(),
  mapping: httpMappingSchema.optional(),
});

const probe = z
  .discriminatedUnion('driver', [modem, command, folder, http], {
    error: () => 'give "modem", "command", "folder" or "http"',
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
    if (value.driver === 'http') {
      if (value.format === 'contract' && value.mapping !== undefined) {
        fault('mapping', 'is for "records": leave it out');
      }
      if (value.format === 'records' && value.mapping === undefined) {
        fault('mapping', 'is missing: name the fields for at least frequency and level');
      }
      if (value.mapping !== undefined && hasNumberedColumn(value.mapping.columns)) {
        fault('mapping', 'has a column by its number: name it as the JSON does');
      }
      const secret = Object.keys(value.headers).find((name) =>
        /^(authorization|cookie)$|key|token|secret/i.test(name),
      );
      if (secret !== undefined) {
        fault(
          'headers',
          `has ${secret}, which looks like a secret: name a variable for it in headerVariables`,
        );
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
export type HttpProbe = z.output<typeof http>;

function hasNumberedColumn(columns: NonNullable<FolderProbe['mapping']>['columns']): boolean {
  return Object.values(columns).some((name) => typeof name === 'number');
}
