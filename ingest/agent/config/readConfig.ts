import { readFileSync } from 'node:fs';
import { hostname } from 'node:os';
import path from 'node:path';
import type { z } from 'zod';
import { openWayWarnings } from '../../probe/openWayWarnings.ts';
import { ProbeError } from '../../probe/probeError.ts';
import { type Environment, readSecretFile, readSecretsFile } from '../../probe/secrets.ts';
import { parseKey } from '../../probe/siteKey.ts';
import { type ConfigFile, configSchema } from './schema.ts';

/** The config, checked, with its paths made whole and its secrets within reach. */
export interface AgentConfig extends Omit<ConfigFile, 'agent' | 'secrets'> {
  readonly agent: string;
  /** Folder of the config file; relative paths start there. */
  readonly home: string;
  readonly url: URL;
  /** Variables of the environment and of the secrets file. */
  readonly secrets: Environment;
  readonly warnings: readonly string[];
  /** The site key as it stands now, so that a new one is taken without a restart. Throws a ProbeError. */
  readonly readKey: () => string;
}

/**
 * Reads one config file. Throws a ProbeError of kind `usage` that names each field that is wrong, with the way
 * to it and what to give.
 */
export function readConfig(file: string, environment: Environment): AgentConfig {
  const parsed = configSchema.safeParse(readJson(file));
  if (!parsed.success) {
    const faults = parsed.error.issues.flatMap(explainIssue);
    throw new ProbeError(
      'usage',
      [`${file}:`, ...faults].join('\n  '),
      `mend ${file} and check it with --check`,
    );
  }

  const config = parsed.data;
  const home = path.dirname(path.resolve(file));
  const warnings: string[] = [];
  const secrets = {
    ...environment,
    ...(config.secrets !== undefined &&
      readSecretsFile(path.resolve(home, config.secrets), 'secrets', warnings)),
  };
  const url = new URL(config.server.url);
  return {
    ...config,
    agent: config.agent ?? hostname(),
    home,
    url,
    secrets,
    spool: { ...config.spool, folder: path.resolve(home, config.spool.folder) },
    readKey: () => readKey(config.server, home, secrets),
    warnings: [...warnings, ...keyFileWarnings(config.server, home), ...openWayWarnings(url)],
  };
}

function readJson(file: string): unknown {
  let content: string;
  try {
    content = readFileSync(file, 'utf8');
  } catch (cause) {
    const reason = cause instanceof Error ? cause.message : String(cause);
    throw new ProbeError('usage', `--config: ${reason}`, 'give the path of a config file', { cause });
  }
  try {
    return JSON.parse(content);
  } catch (cause) {
    const reason = cause instanceof Error ? cause.message : String(cause);
    throw new ProbeError('usage', `${file} is not JSON: ${reason}`, 'mend it at the place named', { cause });
  }
}

function explainIssue(issue: z.core.$ZodIssue): string[] {
  const at = issue.path.reduce<string>(
    (way, step) =>
      typeof step === 'number' ? `${way}[${step}]` : way === '' ? String(step) : `${way}.${String(step)}`,
    '',
  );
  if (issue.code !== 'unrecognized_keys') return [`${at === '' ? 'the file' : at}: ${issue.message}`];
  return issue.keys.map((key) => {
    const field = at === '' ? key : `${at}.${key}`;
    const isSecret = /key|password|community|secret|token/i.test(key);
    return `${field}: is no field here: ${isSecret ? 'secrets stand in a file of their own or in the environment' : 'check its spelling, or take it out'}`;
  });
}

function readKey({ keyFile, keyVariable }: ConfigFile['server'], home: string, secrets: Environment): string {
  if (keyFile !== undefined) return parseKey(readKeyFile(keyFile, home, []), 'server.keyFile');
  const key = secrets[keyVariable];
  if (key !== undefined && key.trim() !== '') return parseKey(key, keyVariable);
  throw new ProbeError(
    'usage',
    'the site key is missing',
    `name a file that holds it by server.keyFile, or set ${keyVariable} in the environment or the secrets file`,
  );
}

function keyFileWarnings({ keyFile }: ConfigFile['server'], home: string): string[] {
  const warnings: string[] = [];
  if (keyFile !== undefined) readKeyFile(keyFile, home, warnings);
  return warnings;
}

function readKeyFile(keyFile: string, home: string, warnings: string[]): string {
  const action = 'give the path of a readable file that holds the site key';
  return readSecretFile(path.resolve(home, keyFile), 'server.keyFile', action, warnings);
}
