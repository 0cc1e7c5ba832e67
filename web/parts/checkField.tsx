interface CheckFieldProps {
  label: string;
  checked: boolean;
  onChecked: (checked: boolean) => void;
}

/** A box to tick, with its words beside it. */
export function CheckField({ label, checked, onChecked }: CheckFieldProps) {
  return (
    <label class="check">
      <input type="checkbox" checked={checked} onChange={(event) => onChecked(event.currentTarget.checked)} />
      <span>{label}</span>
    </label>
  );
}
