import { useState } from 'preact/hooks';
import { Field } from '../../../parts/field.tsx';

interface FileFieldProps {
  label: string;
  hint: string;
  required?: boolean;
  /** The file's text; null when there is none that can be read. */
  onText: (text: string | null) => void;
}

/** A text file of the reader's own. What isn't UTF-8 is refused here, before characters are lost. */
export function FileField({ label, hint, required, onText }: FileFieldProps) {
  const [fault, setFault] = useState<string | undefined>(undefined);
  const take = async (file: File | undefined) => {
    setFault(undefined);
    onText(null);
    if (file === undefined) return;
    try {
      onText(new TextDecoder('utf-8', { fatal: true }).decode(await file.arrayBuffer()));
    } catch {
      setFault('is not UTF-8 text: save the sheet as “CSV UTF-8”');
    }
  };
  return (
    <Field label={label} hint={hint} error={fault}>
      {(tied) => (
        <input
          {...tied}
          type="file"
          accept=".csv,.txt,text/csv"
          required={required ?? false}
          onChange={(event) => take(event.currentTarget.files?.[0])}
        />
      )}
    </Field>
  );
}
