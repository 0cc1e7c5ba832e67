import { BlockList, isIP } from 'node:net';

/**
 * Blocks that are not of the public internet: "globally reachable: false" in the IANA IPv4 and IPv6 special-purpose address
 * registries (RFC 6890 as amended; from memory, to be confirmed against the registries), multicast, and 6to4 and relays, behind
 * which any IPv4 address can stand.
 */
const IPV4_BLOCKS = [
  '0.0.0.0/8',
  '10.0.0.0/8',
  '100.64.0.0/10',
  '127.0.0.0/8',
  '169.254.0.0/16',
  '172.16.0.0/12',
  '192.0.0.0/24',
  '192.0.2.0/24',
  '192.88.99.0/24',
  '192.168.0.0/16',
  '198.18.0.0/15',
  '198.51.100.0/24',
  '203.0.113.0/24',
  '224.0.0.0/4',
  '240.0.0.0/4',
] as const;
/** RFC 4291: what is given out for the public internet; mapped, translated, local and multicast addresses all lie outside. */
const IPV6_PUBLIC = ['2000::/3'] as const;
const IPV6_BLOCKS = ['2001::/23', '2001:db8::/32', '2002::/16', '3fff::/20'] as const;

const reserved = blockList([...IPV4_BLOCKS, ...IPV6_BLOCKS]);
const given = blockList(IPV6_PUBLIC);

/** Whether an IP address can only be a machine on the public internet. */
export function isPublicAddress(address: string): boolean {
  const family = isIP(address);
  if (family === 4) return !reserved.check(address, 'ipv4');
  if (family === 6) return given.check(address, 'ipv6') && !reserved.check(address, 'ipv6');
  return false;
}

function blockList(blocks: readonly string[]): BlockList {
  const list = new BlockList();
  for (const block of blocks) {
    const [net, bits] = block.split('/') as [string, string];
    list.addSubnet(net, Number(bits), net.includes(':') ? 'ipv6' : 'ipv4');
  }
  return list;
}
