import { useState } from 'preact/hooks';
import { TextField } from '../../../parts/field.tsx';
import { toInstant, toLocal } from '../../../zonedTime.ts';

export interface TimeWindow {
  readonly from: string;
  readonly to: string;
}

interface WindowFormProps {
  timeZone: string;
  /** What to begin with; the last week where nobody says. */
  proposed: TimeWindow | null;
  busy: boolean;
  fields: Readonly<Record<string, string>>;
  onWindow: (window: TimeWindow) => void;
}

const WEEK_MS = 7 * 86_400_000;

/** From when to when the sweeps are taken; both ends in the site's zone. */
export function WindowForm({ timeZone, proposed, busy, fields, onWindow }: WindowFormProps) {
  const weekAgo = () => new Date(Date.now() - WEEK_MS).toISOString();
  const [from, setFrom] = useState(() => toLocal(proposed?.from ?? weekAgo(), timeZone));
  const [to, setTo] = useState(() => toLocal(proposed?.to ?? new Date().toISOString(), timeZone));
  const start = toInstant(from, timeZone);
  const end = toInstant(to, timeZone);
  const fault = start !== null && end !== null && start >= end ? 'must lie after the start' : undefined;
  const submit = (event: Event) => {
    event.preventDefault();
    if (start !== null && end !== null && !fault) onWindow({ from: start, to: end });
  };
  return (
    <form class="form" onSubmit={submit}>
      <div class="form-grid">
        <TextField
          label={`From, ${timeZone}`}
          type="datetime-local"
          required
          value={from}
          onValue={setFrom}
          error={fields['from']}
        />
        <TextField
          label={`To, ${timeZone}`}
          type="datetime-local"
          required
          value={to}
          onValue={setTo}
          error={fault ?? fields['to']}
        />
      </div>
      <div class="actions">
        <button type="submit" disabled={busy}>
          Preview
        </button>
        <span class="quiet">Nothing is saved by looking.</span>
      </div>
    </form>
  );
}
