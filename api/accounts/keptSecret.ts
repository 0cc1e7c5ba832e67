import { randomBytes } from 'node:crypto';
import { mkdir, readFile, writeFile } from 'node:fs/promises';
import path from 'node:path';

/** The secret that signs cookies, made at first use and kept in `folder` so that sessions outlive a restart. */
export async function keptSecret(folder: string): Promise<string> {
  const file = path.join(folder, 'secret');
  await mkdir(folder, { recursive: true });
  // "wx": of two servers that start at once, one writes and both read the same.
  await writeFile(file, randomBytes(32).toString('hex'), { mode: 0o600, flag: 'wx' }).catch(ignoreExisting);
  return (await readFile(file, 'utf8')).trim();
}

function ignoreExisting(error: NodeJS.ErrnoException): void {
  if (error.code !== 'EEXIST') throw error;
}
