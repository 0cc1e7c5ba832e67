import { lookup } from 'node:dns/promises';
import { BlockList } from 'node:net';

/** This machine itself, and addresses that lead to no instrument but to what serves the machine (RFC 6890; RFC 3927 for 169.254). */
const NEVER = new BlockList();
NEVER.addSubnet('0.0.0.0', 8);
NEVER.addSubnet('169.254.0.0', 16);
NEVER.addSubnet('224.0.0.0', 3);
NEVER.addAddress('::', 'ipv6');
NEVER.addSubnet('fe80::', 10, 'ipv6');
NEVER.addSubnet('ff00::', 8, 'ipv6');

const LOOPBACK = new BlockList();
LOOPBACK.addSubnet('127.0.0.0', 8);
LOOPBACK.addAddress('::1', 'ipv6');

/**
 * The address behind `host` that the server does not read instruments at; null when it may, or when the name leads nowhere, which the
 * driver says better. Mapped addresses (::ffff:127.0.0.1) count as what they map.
 */
export async function keptAway(host: string, allowLoopback: boolean): Promise<string | null> {
  const found = await lookup(host, { all: true }).catch(() => []);
  const lists = allowLoopback ? [NEVER] : [NEVER, LOOPBACK];
  const bad = found.find(({ address, family }) =>
    lists.some((list) => list.check(address, family === 6 ? 'ipv6' : 'ipv4')),
  );
  return bad?.address ?? null;
}
