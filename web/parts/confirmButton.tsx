import { useState } from 'preact/hooks';

interface ConfirmButtonProps {
  /** What it does, such as "Revoke". */
  does: string;
  /** What follows from it, asked before it happens. */
  question: string;
  onConfirm: () => void;
  disabled?: boolean;
}

/** Asks once more, in place, before something that can't be taken back. */
export function ConfirmButton({ does, question, onConfirm, disabled = false }: ConfirmButtonProps) {
  const [asking, setAsking] = useState(false);
  if (!asking) {
    return (
      <button type="button" class="small" disabled={disabled} onClick={() => setAsking(true)}>
        {does}
      </button>
    );
  }
  const confirm = () => {
    setAsking(false);
    onConfirm();
  };
  return (
    <span class="confirm">
      {question}{' '}
      <button type="button" class="small primary" onClick={confirm}>
        {does}
      </button>{' '}
      <button type="button" class="small" onClick={() => setAsking(false)}>
        Keep
      </button>
    </span>
  );
}
