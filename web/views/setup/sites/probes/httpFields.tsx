import { ChoiceField, TextField } from '../../../../parts/field.tsx';
import { ANSWER_WORD } from '../../../probes/probeWords.ts';
import { HeaderFields } from './headerFields.tsx';
import type { HttpDraft } from './httpDraft.ts';
import type { KindFieldsProps } from './kindFields.ts';
import { RecordFields } from './recordFields.tsx';
import { SecretField } from './secretField.tsx';

const ACCESS = [
  ['nothing', 'nothing'],
  ['password', 'a user and a password'],
  ['headers', 'a secret in a header'],
] as const;
const FORMATS = (['contract', 'records'] as const).map((format) => [format, ANSWER_WORD[format]] as const);

interface HttpFieldsProps extends KindFieldsProps<HttpDraft> {
  timeZone: string;
}

/** Where an instrument answers with JSON, what it asks for before it does, and what the answer means. */
export function HttpFields({ draft, faults, keepsSecrets, onChange, timeZone }: HttpFieldsProps) {
  const tie = (name: 'url' | 'instrument' | 'access' | 'user' | 'password' | 'format', path: string) => ({
    value: draft[name],
    error: faults[path],
    onValue: (value: string) => onChange({ [name]: value }),
  });
  const isOpen = draft.access !== 'nothing' && /^\s*http:/i.test(draft.url);
  return (
    <>
      <div class="form-grid">
        <TextField
          label="Web address"
          required
          hint="Such as “http://192.0.2.20/sweep.json”. This server asks it by GET, and it answers with JSON. The address is shown to everyone who signs in."
          {...tie('url', 'settings.url')}
        />
        <ChoiceField
          label="It asks for"
          options={ACCESS}
          hint={isOpen ? 'http sends the secret unencrypted; https does not.' : undefined}
          {...tie('access', 'settings.access.by')}
        />
        <ChoiceField
          label="It answers with"
          options={FORMATS}
          hint={
            draft.format === 'contract'
              ? 'In Levelkeep’s own JSON, as boxes on site send it.'
              : 'In its own JSON, one entry a channel.'
          }
          {...tie('format', 'settings.format.is')}
        />
        <TextField
          label="Name in sweeps"
          hint="For an answer that names no instrument. Empty: its address."
          {...tie('instrument', 'settings.instrument')}
        />
      </div>
      {draft.access !== 'nothing' && (
        <fieldset class="boxed">
          <legend>What lets this server in</legend>
          <div class="form-grid">
            {draft.access === 'password' ? (
              <>
                <TextField label="User" required {...tie('user', 'settings.access.user')} />
                <SecretField label="Password" keeps={keepsSecrets} {...tie('password', 'secrets.password')} />
              </>
            ) : (
              <HeaderFields
                headers={draft.headers}
                faults={faults}
                keepsSecrets={keepsSecrets}
                onChange={(headers) => onChange({ headers })}
              />
            )}
          </div>
        </fieldset>
      )}
      {draft.format === 'records' && (
        <RecordFields draft={draft} faults={faults} timeZone={timeZone} onChange={onChange} />
      )}
    </>
  );
}
