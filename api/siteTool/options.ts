import { parseArgs } from 'node:util';
import { ToolError } from './toolError.ts';

const COMMANDS = {
  create: ['FILE'],
  missing: ['SITE'],
  key: ['SITE'],
  'agent-config': ['SITE'],
  'find-plan': ['SITE', 'POINT'],
  propose: ['SITE', 'POINT'],
  accept: ['SITE', 'POINT'],
  import: [],
  template: ['sites|points'],
} as const;
export type Command = keyof typeof COMMANDS;

export interface ToolOptions {
  readonly command: Command;
  /** What follows the command, as many as it asks for. */
  readonly names: readonly string[];
  readonly url: string;
  readonly token: string;
  readonly json: boolean;
  readonly label: string | null;
  readonly from: string | null;
  readonly to: string | null;
  readonly effective: string | null;
  readonly note: string | null;
  readonly sites: string | null;
  readonly points: string | null;
  readonly update: boolean;
  readonly apply: boolean;
}

/** The options of one run; null asks for help. Throws a ToolError of kind `usage` that names the option. */
export function readOptions(
  args: readonly string[],
  environment: Readonly<Record<string, string | undefined>>,
): ToolOptions | null {
  const { values, positionals } = parsed(args);
  if (values.help || positionals.length === 0) return null;
  const [command, ...names] = positionals as [string, ...string[]];
  if (!Object.hasOwn(COMMANDS, command)) {
    throw usage(`there is no command "${command}"`, `use one of ${Object.keys(COMMANDS).join(', ')}`);
  }
  const asked = COMMANDS[command as Command];
  if (names.length !== asked.length) {
    throw usage(
      `${command} takes ${asked.join(' ') || 'no name'}`,
      `write ${['npm run site --', command, ...asked].join(' ')}`,
    );
  }
  const token = environment['LEVELKEEP_TOKEN'] ?? '';
  if (token === '') {
    throw usage(
      'LEVELKEEP_TOKEN is not set',
      'put an automation token into it; Set-up, Accounts issues them',
    );
  }
  return {
    command: command as Command,
    names,
    url: (values.url ?? environment['LEVELKEEP_URL'] ?? 'http://127.0.0.1:8620').replace(/\/+$/, ''),
    token,
    json: values.json ?? false,
    label: values.label ?? null,
    from: instant('from', values.from),
    to: instant('to', values.to),
    effective: instant('effective', values.effective),
    note: values.note ?? null,
    sites: values.sites ?? null,
    points: values.points ?? null,
    update: values.update ?? false,
    apply: values.apply ?? false,
  };
}

function instant(option: string, value: string | undefined): string | null {
  if (value === undefined) return null;
  const ms = Date.parse(value);
  if (Number.isNaN(ms)) throw usage(`--${option} is no time`, 'give such as 2026-03-01T12:00:00Z');
  return new Date(ms).toISOString();
}

function parsed(args: readonly string[]) {
  const text = { type: 'string' } as const;
  const flag = { type: 'boolean' } as const;
  try {
    return parseArgs({
      args: [...args],
      allowPositionals: true,
      options: {
        help: { ...flag, short: 'h' },
        url: text,
        json: flag,
        label: text,
        from: text,
        to: text,
        effective: text,
        note: text,
        sites: text,
        points: text,
        update: flag,
        apply: flag,
      },
    });
  } catch (cause) {
    const message = cause instanceof Error ? cause.message : String(cause);
    throw new ToolError('usage', message, 'npm run site -- --help lists the options', { cause });
  }
}

function usage(message: string, action: string): ToolError {
  return new ToolError('usage', message, action);
}
