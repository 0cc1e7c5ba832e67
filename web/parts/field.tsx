import type { ComponentChildren } from 'preact';
import { useId } from 'preact/hooks';

type AutoFill = 'username' | 'name' | 'email' | 'current-password' | 'new-password';

interface FieldProps {
  label: string;
  hint?: string | undefined;
  error?: string | undefined;
  /** Renders the control with what ties it to its label, hint and error. */
  children: (tied: TiedControl) => ComponentChildren;
}

export interface TiedControl {
  readonly id: string;
  readonly 'aria-describedby': string | undefined;
  readonly 'aria-invalid': 'true' | undefined;
}

/** A labelled control; the error says what is wrong beside the very field. */
export function Field({ label, hint, error, children }: FieldProps) {
  const id = useId();
  const described = [hint && `${id}-hint`, error && `${id}-error`].filter(Boolean).join(' ');
  return (
    <div class="field">
      <label for={id}>{label}</label>
      {children({
        id,
        'aria-describedby': described || undefined,
        'aria-invalid': error ? 'true' : undefined,
      })}
      {hint && (
        <p id={`${id}-hint`} class="field-hint">
          {hint}
        </p>
      )}
      {error && (
        <p id={`${id}-error`} class="field-error">
          <span aria-hidden="true">◆ </span>
          {error}
        </p>
      )}
    </div>
  );
}

interface TextFieldProps {
  label: string;
  value: string;
  onValue: (value: string) => void;
  hint?: string | undefined;
  error?: string | undefined;
  type?: 'text' | 'email' | 'password' | 'number' | 'date' | 'time' | 'datetime-local';
  required?: boolean | undefined;
  autocomplete?: AutoFill | undefined;
}

export function TextField({
  label,
  value,
  onValue,
  hint,
  error,
  type = 'text',
  required,
  autocomplete,
}: TextFieldProps) {
  return (
    <Field label={label} hint={hint} error={error}>
      {(tied) => (
        <input
          {...tied}
          {...(autocomplete ? { autocomplete } : {})}
          type={type as 'text'}
          {...(type === 'number' ? { step: 'any' } : {})}
          required={required ?? false}
          value={value}
          onInput={(event) => onValue(event.currentTarget.value)}
        />
      )}
    </Field>
  );
}

interface AreaFieldProps {
  label: string;
  value: string;
  onValue: (value: string) => void;
  hint?: string | undefined;
  error?: string | undefined;
  required?: boolean | undefined;
}

export function AreaField({ label, value, onValue, hint, error, required }: AreaFieldProps) {
  return (
    <Field label={label} hint={hint} error={error}>
      {(tied) => (
        <textarea
          {...tied}
          required={required}
          value={value}
          onInput={(event) => onValue(event.currentTarget.value)}
        />
      )}
    </Field>
  );
}

interface ChoiceFieldProps {
  label: string;
  value: string;
  onValue: (value: string) => void;
  options: readonly (readonly [value: string, words: string])[];
  hint?: string | undefined;
  error?: string | undefined;
}

export function ChoiceField({ label, value, onValue, options, hint, error }: ChoiceFieldProps) {
  return (
    <Field label={label} hint={hint} error={error}>
      {(tied) => (
        <select {...tied} value={value} onChange={(event) => onValue(event.currentTarget.value)}>
          {options.map(([key, words]) => (
            <option key={key} value={key}>
              {words}
            </option>
          ))}
        </select>
      )}
    </Field>
  );
}
