import type { ModemSettings } from '../../../../../api/schemas/probes.ts';
import { numberOrNull } from '../siteDraft.ts';

type V3 = Extract<ModemSettings['access'], { version: '3' }>;

/** The modem's part of the probe form as it is typed. */
export interface ModemDraft {
  host: string;
  port: string;
  instrument: string;
  version: '2c' | '3';
  community: string;
  user: string;
  auth: '' | NonNullable<V3['auth']>;
  authPassword: string;
  priv: '' | NonNullable<V3['priv']>;
  privPassword: string;
}

export const EMPTY_MODEM: ModemDraft = {
  host: '',
  port: '161',
  instrument: '',
  version: '3',
  community: '',
  user: '',
  auth: 'sha256',
  authPassword: '',
  priv: 'aes',
  privPassword: '',
};

/** Secrets are never shown again: their fields begin empty. */
export function modemDraft({ host, port, instrument, access }: ModemSettings): ModemDraft {
  return {
    ...EMPTY_MODEM,
    host,
    port: String(port),
    instrument: instrument ?? '',
    version: access.version,
    ...(access.version === '3' && { user: access.user, auth: access.auth ?? '', priv: access.priv ?? '' }),
  };
}

export function modemSettings(draft: ModemDraft): ModemSettings {
  return {
    host: draft.host,
    port: numberOrNull(draft.port) ?? 161,
    instrument: draft.instrument.trim() === '' ? null : draft.instrument,
    access: accessOf(draft),
  };
}

/** Those that were typed. */
export function modemSecrets(draft: ModemDraft): Record<string, string> {
  const { version, community, auth, authPassword, priv, privPassword } = draft;
  const given =
    version === '2c'
      ? { community }
      : { ...(auth !== '' && { authPassword }), ...(priv !== '' && { privPassword }) };
  return Object.fromEntries(Object.entries(given).filter(([, value]) => value !== ''));
}

function accessOf({ version, user, auth, priv }: ModemDraft): ModemSettings['access'] {
  if (version === '2c') return { version };
  return { version, user, auth: auth === '' ? null : auth, priv: priv === '' ? null : priv };
}
