import { createHash } from 'node:crypto';

/** A number from 0 up to 1 that is always the same for the same words, and evenly spread over different ones. */
export function stableShare(...words: readonly string[]): number {
  const digest = createHash('sha256').update(words.join('\0')).digest();
  return digest.readUIntBE(0, 6) / 2 ** 48;
}
