import { parseArgs } from 'node:util';
import { ProbeError } from '../probe/probeError.ts';

/** What one run of the agent is asked to do. */
export type AgentTask =
  | { readonly kind: 'help' }
  | { readonly kind: 'run'; readonly config: string }
  | { readonly kind: 'check'; readonly config: string }
  | { readonly kind: 'resend'; readonly config: string }
  | { readonly kind: 'readNow'; readonly config: string; readonly point: string }
  | {
      readonly kind: 'preview';
      readonly config: string | null;
      readonly file: string;
      readonly point: string | null;
      readonly skipLines: number;
    };

const MODES = ['check', 'read-now', 'preview', 'resend-refused'] as const;

/** The task in the words of a command line. Throws a ProbeError of kind `usage` that names the option. */
export function parseAgentTask(args: readonly string[]): AgentTask {
  const values = parseOptions(args);
  if (values.help) return { kind: 'help' };
  const modes = MODES.filter((mode) => values[mode] !== undefined);
  if (modes.length > 1) {
    throw usage(`${modes.map((mode) => `--${mode}`).join(' and ')} exclude one another`, 'keep one of them');
  }

  if (values.preview !== undefined) {
    const skipLines = Number(values['skip-lines'] ?? 0);
    if (!Number.isInteger(skipLines) || skipLines < 0)
      throw usage('--skip-lines is no number', 'give such as 12');
    const { preview: file, point = null, config = null } = values;
    return { kind: 'preview', config, file, point, skipLines };
  }
  const stray = (['point', 'skip-lines'] as const).find((name) => values[name] !== undefined);
  if (stray !== undefined) throw usage(`--${stray} goes with --preview`, 'leave it out');
  const { config } = values;
  if (config === undefined)
    throw usage('--config is missing', 'give the config file, such as --config agent.json');
  if (values['read-now'] !== undefined) return { kind: 'readNow', config, point: values['read-now'] };
  if (values.check) return { kind: 'check', config };
  return { kind: values['resend-refused'] ? 'resend' : 'run', config };
}

function parseOptions(args: readonly string[]) {
  try {
    return parseArgs({
      args: [...args],
      options: {
        help: { type: 'boolean', short: 'h' },
        config: { type: 'string' },
        check: { type: 'boolean' },
        'read-now': { type: 'string' },
        preview: { type: 'string' },
        point: { type: 'string' },
        'skip-lines': { type: 'string' },
        'resend-refused': { type: 'boolean' },
      },
    }).values;
  } catch (cause) {
    const message = cause instanceof Error ? cause.message : String(cause);
    throw usage(message, 'npm run agent -- --help lists the options', cause);
  }
}

function usage(message: string, action: string, cause?: unknown): ProbeError {
  return new ProbeError('usage', message, action, { cause });
}
