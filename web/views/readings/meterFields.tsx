import { useId, useState } from 'preact/hooks';
import { Field } from '../../parts/field.tsx';
import type { Kept } from './kept.ts';
import { UNIT_WORD, UNITS } from './typedWords.tsx';

interface MeterFieldsProps {
  kept: Kept;
  known: readonly string[];
  faults: Readonly<Record<string, string>>;
  onChange: (change: Partial<Kept>) => void;
}

/** Which meter, in which unit it shows levels, and how warm it is. */
export function MeterFields({ kept, known, faults, onChange }: MeterFieldsProps) {
  const list = useId();
  const [wasNamed] = useState(kept.instrument.trim() !== '');
  const isFaulty = (faults['instrument'] ?? faults['ambient']) !== undefined;
  return (
    <details class="panel" open={!wasNamed || isFaulty}>
      <summary>
        <strong>Meter:</strong> {kept.instrument.trim() === '' ? 'not named yet' : kept.instrument}, levels in{' '}
        {UNIT_WORD[kept.levelUnit]}
      </summary>
      <div class="form-grid meter-fields">
        <Field
          label="Name of the meter"
          hint="What is printed on it, or what you call it."
          error={faults['instrument']}
        >
          {(tied) => (
            <input
              {...tied}
              type="text"
              autocomplete="off"
              maxLength={80}
              list={list}
              value={kept.instrument}
              onInput={(event) => onChange({ instrument: event.currentTarget.value })}
            />
          )}
        </Field>
        <datalist id={list}>
          {known.map((name) => (
            <option key={name} value={name} />
          ))}
        </datalist>
        <fieldset class="units">
          <legend>It shows levels in</legend>
          {UNITS.map((unit) => (
            <label key={unit} class="check">
              <input
                type="radio"
                name="unit"
                checked={kept.levelUnit === unit}
                onChange={() => onChange({ levelUnit: unit })}
              />
              {UNIT_WORD[unit]}
              {unit === 'dBm' && ' at 75 Ω'}
            </label>
          ))}
        </fieldset>
        <Field label="Air temperature, °C" hint="May stay empty." error={faults['ambient']}>
          {(tied) => (
            <input
              {...tied}
              type="text"
              inputMode="decimal"
              autocomplete="off"
              value={kept.ambient}
              onInput={(event) => onChange({ ambient: event.currentTarget.value })}
            />
          )}
        </Field>
      </div>
    </details>
  );
}
