import type { TargetView } from '../../../../api/schemas/notify.ts';

/** Where messages to a target go: an address, or a webhook's host. */
export function targetPlace({ kind, address, url, disabled }: TargetView): string {
  if (kind === 'webhook') return url ?? '';
  return disabled ? 'account disabled, nothing is sent' : (address ?? 'no address');
}

export function targetTitle({ name, kind }: TargetView): string {
  return `${name} (${kind === 'webhook' ? 'webhook' : 'e-mail'})`;
}
