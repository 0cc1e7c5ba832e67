import { createCipheriv, createDecipheriv, hkdfSync, randomBytes } from 'node:crypto';

const CIPHER = 'aes-256-gcm';
const KEY_BYTES = 32;
/** NIST SP 800-38D, 8.2.2: a random nonce of 96 bits. */
const NONCE_BYTES = 12;
const TAG_BYTES = 16;
const PURPOSE = 'levelkeep sealed secrets';

/** `text` so that only who knows the server's `secret` can read it, and any change shows: nonce, tag, cipher text. */
export function seal(secret: string, text: string): Buffer {
  const nonce = randomBytes(NONCE_BYTES);
  const cipher = createCipheriv(CIPHER, keyOf(secret), nonce);
  const body = Buffer.concat([cipher.update(text, 'utf8'), cipher.final()]);
  return Buffer.concat([nonce, cipher.getAuthTag(), body]);
}

/** What was sealed. Throws when it was sealed under another secret, or changed since. */
export function unseal(secret: string, sealed: Buffer): string {
  const nonce = sealed.subarray(0, NONCE_BYTES);
  const decipher = createDecipheriv(CIPHER, keyOf(secret), nonce, { authTagLength: TAG_BYTES });
  decipher.setAuthTag(sealed.subarray(NONCE_BYTES, NONCE_BYTES + TAG_BYTES));
  const body = sealed.subarray(NONCE_BYTES + TAG_BYTES);
  return Buffer.concat([decipher.update(body), decipher.final()]).toString('utf8');
}

/** The secret signs cookies too; a key of its own purpose keeps the two uses apart (RFC 5869). */
function keyOf(secret: string): Buffer {
  return Buffer.from(hkdfSync('sha256', secret, '', PURPOSE, KEY_BYTES));
}
