import { mkdtemp, rm, stat } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { keepSecrets, readSecrets } from '../../../seed/demo/keptSecrets.ts';

let folder: string;
beforeAll(async () => {
  folder = await mkdtemp(path.join(tmpdir(), 'levelkeep-seed-'));
});
afterAll(() => rm(folder, { recursive: true }));

test('readSecrets makes a password once and gives the same one ever after', async () => {
  const first = await readSecrets(path.join(folder, 'new'));
  const second = await readSecrets(path.join(folder, 'new'));
  expect(first.password.length).toBeGreaterThanOrEqual(20);
  expect(second).toEqual(first);
});

test('keepSecrets writes a file that only its owner reads', async () => {
  const secrets = { password: 'p', siteKeys: { 4: { keyId: 7, key: 'k' } } };
  await keepSecrets(folder, secrets);
  expect(await readSecrets(folder)).toEqual(secrets);
  const { mode } = await stat(path.join(folder, 'demo-secrets.json'));
  expect(mode & 0o077).toBe(0);
});
