import { Fragment } from 'preact';
import { TextField } from '../../../../parts/field.tsx';
import type { HeaderDraft } from './httpDraft.ts';
import { SecretField } from './secretField.tsx';

interface HeaderFieldsProps {
  headers: readonly HeaderDraft[];
  faults: Readonly<Record<string, string>>;
  keepsSecrets: boolean;
  onChange: (headers: HeaderDraft[]) => void;
}

const MOST_HEADERS = 4;

/** Names of headers, and their secret values. */
export function HeaderFields({ headers, faults, keepsSecrets, onChange }: HeaderFieldsProps) {
  const change = (place: number, changed: Partial<HeaderDraft>) =>
    onChange(headers.map((header, i) => (i === place ? { ...header, ...changed } : header)));
  return (
    <>
      {headers.map(({ name, value }, i) => (
        <Fragment key={i}>
          <TextField
            label={numbered('Header', i)}
            required
            value={name}
            error={faults[`settings.access.names.${i}`] ?? faults['settings.access.names']}
            onValue={(typed) => change(i, { name: typed })}
          />
          <SecretField
            label={numbered('Its secret value', i)}
            keeps={keepsSecrets}
            value={value}
            error={faults[`secrets.${name.trim()}`]}
            onValue={(typed) => change(i, { value: typed })}
          />
        </Fragment>
      ))}
      <div class="actions">
        {headers.length < MOST_HEADERS && (
          <button type="button" class="small" onClick={() => onChange([...headers, { name: '', value: '' }])}>
            Add a header
          </button>
        )}
        {headers.length > 1 && (
          <button type="button" class="small" onClick={() => onChange(headers.slice(0, -1))}>
            Leave out the last
          </button>
        )}
      </div>
    </>
  );
}

function numbered(label: string, place: number): string {
  return place === 0 ? label : `${label} (${place + 1})`;
}
