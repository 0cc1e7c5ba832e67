import { randomBytes } from 'node:crypto';
import { existsSync } from 'node:fs';
import { mkdir, readFile, rename, writeFile } from 'node:fs/promises';
import path from 'node:path';

/** What the demo must remember from start to start and the database keeps only as hashes. */
export interface KeptSecrets {
  readonly password: string;
  /** Site keys by site id. */
  readonly siteKeys: Readonly<Record<string, { readonly keyId: number; readonly key: string }>>;
}

const FILE = 'demo-secrets.json';
const PASSWORD_BYTES = 15;

/** The secrets kept in `folder`; fresh ones where there are none yet. */
export async function readSecrets(folder: string): Promise<KeptSecrets> {
  const file = path.join(folder, FILE);
  if (existsSync(file)) return JSON.parse(await readFile(file, 'utf8'));
  const secrets = { password: randomBytes(PASSWORD_BYTES).toString('base64url'), siteKeys: {} };
  await keepSecrets(folder, secrets);
  return secrets;
}

/** Keeps secrets in `folder`, readable by its owner alone; a crash leaves the old ones or the new ones whole. */
export async function keepSecrets(folder: string, secrets: KeptSecrets): Promise<void> {
  await mkdir(folder, { recursive: true });
  const file = path.join(folder, FILE);
  await writeFile(`${file}.new`, JSON.stringify(secrets, null, 2), { mode: 0o600 });
  await rename(`${file}.new`, file);
}
