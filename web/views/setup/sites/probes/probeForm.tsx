import { useState } from 'preact/hooks';
import type { PointSetup } from '../../../../../api/schemas/siteSetup.ts';
import { ChoiceField, TextField } from '../../../../parts/field.tsx';
import { Failure } from '../../../../parts/notice.tsx';
import { useSubmit } from '../../../../useSubmit.ts';
import type { ProbeDraft } from './probeDraft.ts';

interface ProbeFormProps {
  initial: ProbeDraft;
  points: readonly PointSetup[];
  timeZone: string;
  /** There are secrets already, which stay where none is typed. */
  keepsSecrets: boolean;
  does: string;
  onSend: (draft: ProbeDraft) => Promise<void>;
  onCancel: () => void;
}

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
const SCHEDULES = [
  ['every', 'every so many minutes'],
  ['cron', 'by a cron expression'],
] as const;

/** One instrument that the server reads: where it is, how it lets itself be read, and when. */
export function ProbeForm(props: ProbeFormProps) {
  const { initial, points, timeZone, keepsSecrets, does, onSend, onCancel } = props;
  const [draft, setDraft] = useState(initial);
  const { run, busy, error, fields } = useSubmit();
  const tie = (name: keyof ProbeDraft, path: string) => ({
    value: draft[name],
    error: fields[path],
    onValue: (value: string) => setDraft((old) => ({ ...old, [name]: value })),
  });
  const secret = (name: 'community' | 'authPassword' | 'privPassword', label: string) => (
    <TextField
      label={label}
      type="password"
      autocomplete="new-password"
      required={!keepsSecrets}
      hint={keepsSecrets ? 'Leave empty to keep what is stored.' : undefined}
      {...tie(name, `secrets.${name}`)}
    />
  );
  const submit = async (event: Event) => {
    event.preventDefault();
    await run(() => onSend(draft));
  };
  return (
    <form class="form point-form" onSubmit={submit}>
      <div class="form-grid">
        <TextField
          label="Name"
          required
          hint="Such as “modem in the riser cupboard”."
          {...tie('name', 'name')}
        />
        <ChoiceField
          label="Point that it measures"
          options={points.map((point) => [String(point.pointId), point.label || point.name] as const)}
          {...tie('pointId', 'pointId')}
        />
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
        <ChoiceField label="Read" options={SCHEDULES} {...tie('scheduleKind', 'schedule.kind')} />
        {draft.scheduleKind === 'every' ? (
          <TextField
            label="Minutes between readings"
            type="number"
            hint="0.5 to 1440. Probes are spread, so that they are not all read at once."
            {...tie('everyMinutes', 'schedule.intervalS')}
          />
        ) : (
          <TextField
            label="Cron expression"
            hint={`Minute, hour, day, month, weekday; ${timeZone}. Read up to five minutes after.`}
            {...tie('expression', 'schedule.expression')}
          />
        )}
        <TextField label="Give up after, seconds" type="number" {...tie('timeoutS', 'timeoutS')} />
        <TextField
          label="Rest between readings, seconds"
          type="number"
          hint="Whoever asks, the modem is left alone so long."
          {...tie('floorS', 'floorS')}
        />
        <TextField
          label="Name in sweeps"
          hint="Empty: the modem’s serial number."
          {...tie('instrument', 'settings.instrument')}
        />
      </div>
      {error && <Failure error={error} />}
      <div class="actions">
        <button type="submit" class="primary" disabled={busy}>
          {does}
        </button>
        <button type="button" onClick={onCancel}>
          Cancel
        </button>
      </div>
    </form>
  );
}
