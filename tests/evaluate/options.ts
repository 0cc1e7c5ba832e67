import { parseArgs } from 'node:util';
import { chooseRows } from './cases.ts';
import { SETTINGS, type SettingName } from './settings.ts';

export interface EvaluateOptions {
  readonly seed: number;
  readonly setting: SettingName;
  /** Names of the rows of the table. */
  readonly rows: readonly string[];
  /** Faulty sites a row. */
  readonly sites: number;
  /** Fault-free sites, and the days for which each is watched. */
  readonly quietSites: number;
  readonly quietDays: number;
  /** Threads beside the first; 0 runs everything in it. */
  readonly workers: number;
  /** List false alerts and faults missed one by one. */
  readonly verbose: boolean;
}

export const USAGE = `npm run evaluate -- [options]
  --seed N          seed of the fleet (default 1)
  --sites N         faulty sites a row (8)
  --years N         fault-free sites, each watched for a year (10)
  --rows a,b        rows by family or by the beginning of their names (all)
  --setting NAME    ${Object.keys(SETTINGS).join(', ')} (standard)
  --workers N       threads (2)
  --quick           the short form that the tests run
  --verbose         lists false alerts and misses`;

/** The short form: some rows, few sites, under a minute on one core. */
export const QUICK = {
  rows: ['level step 2', 'lost channel', 'drift 0.3', 'high end 0.15', 'MER 0.2', 'notch 0.3', 'ripple 1.2'],
  sites: 2,
  quietSites: 3,
  quietDays: 120,
} as const;

/** Reads the command line. RangeError tells what is wrong with it. */
export function readOptions(args: readonly string[]): EvaluateOptions {
  const { values } = parseArgs({
    args: [...args],
    options: {
      seed: { type: 'string', default: '1' },
      sites: { type: 'string' },
      years: { type: 'string' },
      rows: { type: 'string' },
      setting: { type: 'string', default: 'standard' },
      workers: { type: 'string', default: '2' },
      quick: { type: 'boolean', default: false },
      verbose: { type: 'boolean', default: false },
    },
  });
  if (!(values.setting in SETTINGS)) {
    throw new RangeError(
      `no setting is called ${values.setting}; there are ${Object.keys(SETTINGS).join(', ')}`,
    );
  }
  const { quick } = values;
  const wanted = values.rows?.split(',') ?? (quick ? QUICK.rows : []);
  return {
    seed: whole('seed', values.seed),
    setting: values.setting as SettingName,
    rows: chooseRows(wanted).map(({ name }) => name),
    sites: whole('sites', values.sites ?? String(quick ? QUICK.sites : 8)),
    quietSites: whole('years', values.years ?? String(quick ? QUICK.quietSites : 10)),
    quietDays: quick ? QUICK.quietDays : 379,
    workers: whole('workers', values.workers),
    verbose: values.verbose,
  };
}

function whole(name: string, text: string): number {
  const value = Number(text);
  if (!Number.isInteger(value) || value < 0)
    throw new RangeError(`--${name} is ${text}; give a whole number`);
  return value;
}
