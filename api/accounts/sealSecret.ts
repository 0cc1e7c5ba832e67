import { createCipheriv, createDecipheriv, hkdfSync, randomBytes } from 'node:crypto';

const CIPHER = 'aes-256-gcm';
const NONCE_BYTES = 12;
const TAG_BYTES = 16;

/** `text` so that it can be stored: only who holds `secret` can read it or make another that passes for it. */
export function seal(secret: string, text: string): Buffer {
  const nonce = randomBytes(NONCE_BYTES);
  const cipher = createCipheriv(CIPHER, keyOf(secret), nonce);
  const body = Buffer.concat([cipher.update(text, 'utf8'), cipher.final()]);
  return Buffer.concat([nonce, cipher.getAuthTag(), body]);
}

/** Throws when `sealed` was made with another secret or was changed. */
export function unseal(secret: string, sealed: Buffer): string {
  const nonce = sealed.subarray(0, NONCE_BYTES);
  const decipher = createDecipheriv(CIPHER, keyOf(secret), nonce, { authTagLength: TAG_BYTES });
  decipher.setAuthTag(sealed.subarray(NONCE_BYTES, NONCE_BYTES + TAG_BYTES));
  const body = sealed.subarray(NONCE_BYTES + TAG_BYTES);
  return Buffer.concat([decipher.update(body), decipher.final()]).toString('utf8');
}

function keyOf(secret: string): Buffer {
  return Buffer.from(hkdfSync('sha256', secret, '', 'levelkeep sealed secrets', 32));
}
