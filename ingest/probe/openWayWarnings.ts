/** What to say before a site key goes to `url`: nothing, or that others on the way can read it. */
export function openWayWarnings({ protocol, hostname }: URL): string[] {
  const isHere = hostname === 'localhost' || hostname === '[::1]' || hostname.startsWith('127.');
  if (protocol === 'https:' || isHere) return [];
  return [`the site key travels to ${hostname} unencrypted; use an https address outside a trusted network`];
}
