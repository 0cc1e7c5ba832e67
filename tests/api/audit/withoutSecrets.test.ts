import { expect, test } from 'vitest';
import { LEFT_OUT, withoutSecrets } from '../../../api/audit/withoutSecrets.ts';

test('fields named like a secret lose their value, at any depth', () => {
  const kept = withoutSecrets({
    label: 'riser',
    password: 'swordfish',
    settings: { community: 'public-ish', authPassword: 'a', privPassword: 'b', host: '192.0.2.1' },
    list: [{ secretSha256: 'abc', token: 'lkt_1', key: 'levelkeep_1_x', passwordHash: 'h' }],
  });
  expect(kept).toEqual({
    label: 'riser',
    password: LEFT_OUT,
    settings: { community: LEFT_OUT, authPassword: LEFT_OUT, privPassword: LEFT_OUT, host: '192.0.2.1' },
    list: [{ secretSha256: LEFT_OUT, token: LEFT_OUT, key: LEFT_OUT, passwordHash: LEFT_OUT }],
  });
});

test('names that only begin like one are kept, and so is the absence of a secret', () => {
  const kept = { tokenId: 4, keyId: 2, causeKey: 'level-step', password: null };
  expect(withoutSecrets(kept)).toEqual(kept);
});

test('of secrets that are named by their headers nothing is kept', () => {
  const kept = withoutSecrets({ settings: { names: ['X-Key'] }, secrets: { 'X-Key': 'swordfish' } });
  expect(kept).toEqual({ settings: { names: ['X-Key'] }, secrets: LEFT_OUT });
});
