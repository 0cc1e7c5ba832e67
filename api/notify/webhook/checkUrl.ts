import { isIP } from 'node:net';
import { isPublicAddress } from './publicAddress.ts';

/** Why a webhook can't go to `url`, or null when it can as far as the address itself says; its name is resolved when it is used. */
export function urlFault(url: string, allowPrivate: boolean): string | null {
  const parsed = URL.canParse(url) ? new URL(url) : null;
  if (!parsed || !['https:', 'http:'].includes(parsed.protocol)) {
    return 'must be an address such as "https://desk.example/levelkeep"';
  }
  if (parsed.username !== '' || parsed.password !== '') {
    return 'must not hold a name or password: the signature is the proof';
  }
  if (allowPrivate) return null;
  if (parsed.protocol !== 'https:') return 'must begin with https://';
  const host = hostOf(parsed);
  if (host === 'localhost' || host.endsWith('.localhost') || (isIP(host) !== 0 && !isPublicAddress(host))) {
    return 'must not be a private, loopback or reserved address; the operator can allow it with LEVELKEEP_WEBHOOK_ALLOW_PRIVATE=1';
  }
  return null;
}

/** The host without the brackets of an IPv6 address. */
export function hostOf(url: URL): string {
  return url.hostname.replace(/^\[(.*)\]$/, '$1');
}
