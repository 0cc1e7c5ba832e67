import { ChoiceField, TextField } from '../../../../parts/field.tsx';
import type { HttpDraft } from './httpDraft.ts';

interface RecordFieldsProps {
  draft: HttpDraft;
  faults: Readonly<Record<string, string>>;
  timeZone: string;
  onChange: (changed: Partial<HttpDraft>) => void;
}

const FREQUENCY_UNITS = [
  ['MHz', 'MHz'],
  ['kHz', 'kHz'],
  ['Hz', 'Hz'],
] as const;
const LEVEL_UNITS = [
  ['dBmV', 'dBmV'],
  ['dBuV', 'dBµV'],
  ['dBm', 'dBm, at 75 Ω'],
] as const;
const TIMES = [
  ['reading', 'when it is asked'],
  ['column', 'written in each entry'],
] as const;

type Field = Exclude<keyof HttpDraft, 'headers' | 'stored'>;

/** Where in the answer the list stands, and what the fields of its entries are called. */
export function RecordFields({ draft, faults, timeZone, onChange }: RecordFieldsProps) {
  const tie = (name: Field, path: string) => ({
    value: draft[name],
    error: faults[`settings.format.${path}`],
    onValue: (value: string) => onChange({ [name]: value }),
  });
  const column = (name: 'frequency' | 'level' | 'mer' | 'cnr' | 'ambient') =>
    tie(name, `mapping.columns.${name}`);
  return (
    <fieldset class="boxed">
      <legend>What its answer holds</legend>
      <p class="field-hint answer-hint">
        Names of fields as they stand in the answer. An entry such as{' '}
        <span class="mono">{'{"f": 57, "lvl": 20.1}'}</span> has its frequency in “f” and its level in “lvl”.
      </p>
      <div class="form-grid">
        <TextField
          label="The list stands in"
          hint="Such as “scan.channels”. Empty: the answer is the list itself."
          {...tie('rows', 'rows')}
        />
        <TextField label="Field with the frequency" required {...column('frequency')} />
        <ChoiceField
          label="Unit of the frequency"
          options={FREQUENCY_UNITS}
          {...tie('frequencyUnit', 'mapping.frequencyUnit')}
        />
        <TextField label="Field with the level" required {...column('level')} />
        <ChoiceField
          label="Unit of the level"
          options={LEVEL_UNITS}
          {...tie('levelUnit', 'mapping.levelUnit')}
        />
        <TextField label="Field with MER, dB" hint="Empty: it gives none." {...column('mer')} />
        <TextField label="Field with CNR, dB" hint="Empty: it gives none." {...column('cnr')} />
        <TextField label="Field with temperature, °C" hint="Empty: it gives none." {...column('ambient')} />
        <ChoiceField label="Time of the sweep" options={TIMES} {...tie('timeFrom', 'mapping.time.from')} />
        {draft.timeFrom === 'column' && (
          <>
            <TextField
              label="Field with the time"
              required
              hint="Date and time in two fields: both, with a comma between."
              {...tie('timeFields', 'mapping.time.column')}
            />
            <TextField
              label="How the time is written"
              required
              hint={`“iso”, such as 2026-03-01T12:00:00Z, or a pattern such as “YYYY-MM-DD hh:mm:ss”, then in ${timeZone}.`}
              {...tie('timePattern', 'mapping.time.pattern')}
            />
          </>
        )}
      </div>
    </fieldset>
  );
}
