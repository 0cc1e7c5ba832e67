import { readFileSync, statSync } from 'node:fs';
import { parseEnv } from 'node:util';
import { ProbeError } from './probeError.ts';

/** Option on the command line and variable in the environment or a secrets file that name one secret. */
const NAMES = {
  key: 'LEVELKEEP_KEY',
  community: 'LEVELKEEP_COMMUNITY',
  'auth-password': 'LEVELKEEP_AUTH_PASSWORD',
  'priv-password': 'LEVELKEEP_PRIV_PASSWORD',
} as const;

export type SecretName = keyof typeof NAMES;
export type Secrets = Readonly<Record<SecretName, string | undefined>>;
export type Environment = Readonly<Record<string, string | undefined>>;

/**
 * Each secret from the command line, else from the file, else from the environment. `warnings` tell of
 * secrets that other users of the machine can see. Throws a ProbeError of kind `usage` when the file
 * can't be read.
 */
export function findSecrets(
  options: Partial<Record<SecretName, string>>,
  file: string | undefined,
  environment: Environment,
): { readonly secrets: Secrets; readonly warnings: string[] } {
  const warnings: string[] = [];
  const fromFile = file === undefined ? {} : readSecretsFile(file, '--secrets', warnings);
  const find = (name: SecretName) => options[name] ?? fromFile[NAMES[name]] ?? environment[NAMES[name]];

  const visible = (Object.keys(NAMES) as SecretName[]).filter((name) => options[name] !== undefined);
  if (visible.length > 0) {
    const listed = visible.map((name) => `--${name}`).join(', ');
    const better = visible.map((name) => NAMES[name]).join(', ');
    warnings.push(`${listed} can be read by every user of this machine; ${better} in the environment cannot`);
  }
  return {
    secrets: {
      key: find('key'),
      community: find('community'),
      'auth-password': find('auth-password'),
      'priv-password': find('priv-password'),
    },
    warnings,
  };
}

/** How a message asks for a secret that is missing. */
export function askFor(name: SecretName): string {
  return `set ${NAMES[name]} in the environment or a --secrets file, or give --${name}`;
}

/**
 * The NAME=value lines of a file. Warns when others can open it. Throws a ProbeError of kind `usage` that begins
 * with `givenBy`, the option or field that names the file.
 */
export function readSecretsFile(file: string, givenBy: string, warnings: string[]): Environment {
  return parseEnv(readSecretFile(file, givenBy, 'give a readable file of NAME=value lines', warnings));
}

/** The text of a file that holds a secret, with the same warning and error. */
export function readSecretFile(file: string, givenBy: string, action: string, warnings: string[]): string {
  try {
    const isOpen = process.platform !== 'win32' && (statSync(file).mode & 0o077) !== 0;
    if (isOpen) warnings.push(`${file} can be opened by other users of this machine: chmod 600 ${file}`);
    return readFileSync(file, 'utf8');
  } catch (cause) {
    const reason = cause instanceof Error ? cause.message : String(cause);
    throw new ProbeError('usage', `${givenBy}: ${reason}`, action, { cause });
  }
}
