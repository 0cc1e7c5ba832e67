import { TextField } from '../../../../parts/field.tsx';

interface SecretFieldProps {
  label: string;
  value: string;
  error: string | undefined;
  /** There is one already, which stays while nothing is typed. */
  keeps: boolean;
  onValue: (value: string) => void;
}

/** A secret of an instrument, which is never shown again. */
export function SecretField({ label, value, error, keeps, onValue }: SecretFieldProps) {
  return (
    <TextField
      label={label}
      type="password"
      autocomplete="new-password"
      required={!keeps}
      hint={keeps ? 'Leave empty to keep what is stored.' : undefined}
      value={value}
      error={error}
      onValue={onValue}
    />
  );
}
