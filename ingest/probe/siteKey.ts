import { ProbeError } from './probeError.ts';

/**
 * A site key ready for a header, which takes no blanks or line ends. Throws a ProbeError of kind `usage` that
 * begins with `givenBy`, the place where the person put the key.
 */
export function parseKey(key: string, givenBy: string): string {
  const trimmed = key.trim();
  if (/^[\x21-\x7e]+$/.test(trimmed)) return trimmed;
  throw new ProbeError(
    'usage',
    `${givenBy} holds characters that no site key has`,
    'copy the key again, in one piece',
  );
}
