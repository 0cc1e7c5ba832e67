import { ChoiceField, TextField } from '../../../../parts/field.tsx';
import type { KindFieldsProps } from './kindFields.ts';
import type { ModemDraft } from './modemDraft.ts';
import { SecretField } from './secretField.tsx';

const VERSIONS = [
  ['3', 'v3, with a user'],
  ['2c', 'v2c, with a community'],
] as const;
const AUTH = [
  ['', 'none'],
  ['sha256', 'SHA-256'],
  ['sha384', 'SHA-384'],
  ['sha512', 'SHA-512'],
  ['sha224', 'SHA-224'],
  ['sha', 'SHA-1'],
  ['md5', 'MD5'],
] as const;
const PRIV = [
  ['', 'none'],
  ['aes', 'AES, 128 bits'],
  ['aes256b', 'AES, 256 bits (Blumenthal)'],
  ['aes256r', 'AES, 256 bits (Reeder)'],
] as const;

/** Where a cable modem is, and how it lets itself be read. */
export function ModemFields({ draft, faults, keepsSecrets, onChange }: KindFieldsProps<ModemDraft>) {
  const tie = (name: keyof ModemDraft, path: string) => ({
    value: draft[name],
    error: faults[path],
    onValue: (value: string) => onChange({ [name]: value }),
  });
  const secret = (name: 'community' | 'authPassword' | 'privPassword', label: string) => (
    <SecretField label={label} keeps={keepsSecrets} {...tie(name, `secrets.${name}`)} />
  );
  return (
    <div class="form-grid">
      <TextField
        label="Modem’s address"
        required
        hint="A name or an IP address that this server reaches."
        {...tie('host', 'settings.host')}
      />
      <TextField label="UDP port" type="number" {...tie('port', 'settings.port')} />
      <ChoiceField
        label="SNMP version"
        options={VERSIONS}
        hint={draft.version === '2c' ? 'v2c sends the community unencrypted.' : undefined}
        {...tie('version', 'settings.access.version')}
      />
      {draft.version === '2c' ? (
        secret('community', 'Community')
      ) : (
        <>
          <TextField label="User" required {...tie('user', 'settings.access.user')} />
          <ChoiceField label="Authentication" options={AUTH} {...tie('auth', 'settings.access.auth')} />
          {draft.auth !== '' && secret('authPassword', 'Authentication password')}
          <ChoiceField label="Privacy" options={PRIV} {...tie('priv', 'settings.access.priv')} />
          {draft.priv !== '' && secret('privPassword', 'Privacy password')}
        </>
      )}
      <TextField
        label="Name in sweeps"
        hint="Empty: the modem’s serial number."
        {...tie('instrument', 'settings.instrument')}
      />
    </div>
  );
}
