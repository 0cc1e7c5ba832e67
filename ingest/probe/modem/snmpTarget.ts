/** Each request is sent up to three times; a silent modem is given up after six seconds. */
export const REQUEST = { timeoutMs: 2_000, retries: 2 } as const;

export const AUTH_PROTOCOLS = ['md5', 'sha', 'sha224', 'sha256', 'sha384', 'sha512'] as const;
/**
 * `aes` has a 128-bit key; the two 256-bit forms differ in how a short digest is stretched to a key. DES is
 * not here: it protects nothing today, and Node's OpenSSL no longer has it.
 */
export const PRIV_PROTOCOLS = ['aes', 'aes256b', 'aes256r'] as const;

/** What the modem asks for before it answers: a community (v2c), or a user with passwords (v3). */
export type SnmpAccess =
  | { readonly version: '2c'; readonly community: string }
  | {
      readonly version: '3';
      readonly user: string;
      readonly auth: { readonly protocol: (typeof AUTH_PROTOCOLS)[number]; readonly password: string } | null;
      readonly priv: { readonly protocol: (typeof PRIV_PROTOCOLS)[number]; readonly password: string } | null;
    };

export interface SnmpTarget {
  readonly host: string;
  readonly port: number;
  readonly access: SnmpAccess;
}
