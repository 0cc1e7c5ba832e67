import { useId } from 'preact/hooks';
import { otherSign } from './figure.ts';

interface FigureProps {
  label: string;
  unit: string;
  value: string;
  onValue: (value: string) => void;
  fault: string | undefined;
  disabled?: boolean;
  /** May be negative, so it has a key for the sign. */
  signed?: boolean;
}

/** One figure with its unit, in keys large enough for a cupboard. */
export function Figure({
  label,
  unit,
  value,
  onValue,
  fault,
  disabled = false,
  signed = false,
}: FigureProps) {
  const id = useId();
  return (
    <div class="figure-field">
      <label for={id}>
        {label}, {unit}
      </label>
      <div class="figure-keys">
        {signed && (
          <button
            type="button"
            class="sign-key"
            disabled={disabled}
            aria-label={`${label}: plus or minus`}
            onClick={() => onValue(otherSign(value))}
          >
            ±
          </button>
        )}
        <input
          id={id}
          type="text"
          inputMode="decimal"
          autocomplete="off"
          enterkeyhint="next"
          value={value}
          disabled={disabled}
          aria-invalid={fault ? 'true' : undefined}
          aria-describedby={fault ? `${id}-error` : undefined}
          onInput={(event) => onValue(event.currentTarget.value)}
        />
      </div>
      {fault && (
        <p id={`${id}-error`} class="field-error">
          {fault}
        </p>
      )}
    </div>
  );
}
