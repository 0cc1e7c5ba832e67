import { createHash, randomBytes } from 'node:crypto';

/** A secret of 256 random bits in text that survives copying, after a prefix that says what it opens. */
export function newSecret(prefix: string): string {
  return `${prefix}_${randomBytes(32).toString('base64url')}`;
}

/** What is stored in place of a secret. With 256 random bits behind it, a fast hash can't be searched. */
export function hashOfSecret(secret: string): Buffer {
  return createHash('sha256').update(secret).digest();
}
