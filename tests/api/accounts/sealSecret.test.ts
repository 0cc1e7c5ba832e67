import { expect, test } from 'vitest';
import { seal, unseal } from '../../../api/accounts/sealSecret.ts';

const SECRET = 'one server’s secret, 32 characters';

test('what is sealed comes back, and is nowhere to be seen in between', () => {
  const sealed = seal(SECRET, 'community: très discret');
  expect(unseal(SECRET, sealed)).toBe('community: très discret');
  expect(sealed.includes('discret')).toBe(false);
});

test('the same text never looks the same twice', () => {
  expect(seal(SECRET, 'words').equals(seal(SECRET, 'words'))).toBe(false);
});

test('another secret does not open it', () => {
  expect(() => unseal('another server’s secret, 32 chars.', seal(SECRET, 'words'))).toThrow();
});

test('a change of any byte shows', () => {
  const sealed = seal(SECRET, 'words');
  for (let i = 0; i < sealed.length; i++) {
    const changed = Buffer.from(sealed);
    changed[i]! ^= 1;
    expect(() => unseal(SECRET, changed)).toThrow();
  }
  expect(() => unseal(SECRET, sealed.subarray(0, 20))).toThrow();
});
