import { useContext, useState } from 'preact/hooks';
import type { SheetStop } from '../../../api/schemas/visits.ts';
import { zoneName } from '../../format.ts';
import { putInOutbox } from '../../offline/outbox.ts';
import { AreaField, ChoiceField, TextField } from '../../parts/field.tsx';
import { MeContext } from '../../session.ts';
import { toInstant } from '../../zonedTime.ts';
import { resultOf } from './resultDraft.ts';
import { useResultDraft } from './useResultDraft.ts';
import { OUTCOME_WORD, OUTCOMES } from './visitWords.ts';

interface ResultFormProps {
  stop: SheetStop;
  onRecorded: () => void;
  onClose: () => void;
}

const READINGS = ['levelBeforeDbmv', 'levelAfterDbmv', 'merBeforeDb', 'merAfterDb'] as const;
const READING_LABEL = {
  levelBeforeDbmv: 'Level before, dBmV',
  levelAfterDbmv: 'Level after, dBmV',
  merBeforeDb: 'MER before, dB',
  merAfterDb: 'MER after, dB',
} as const;

/** Typed in a cupboard: kept on the device first, sent when there is a network. */
export function ResultForm({ stop, onRecorded, onClose }: ResultFormProps) {
  const me = useContext(MeContext);
  const { timeZone, tasks, points } = stop;
  const { draft, change, drop } = useResultDraft(stop);
  const { outcome } = draft;
  const [fault, setFault] = useState('');

  const chooseTask = (alertId: string) => {
    const task = tasks.find((candidate) => String(candidate.alertId) === alertId);
    change({ alertId, ...(task?.pointId && { pointId: String(task.pointId) }) });
  };
  const submit = (event: Event) => {
    event.preventDefault();
    const beganAt = toInstant(draft.began, timeZone);
    if (!outcome || !me || !beganAt) return;
    const doneAt = new Date().toISOString();
    if (beganAt > doneAt) {
      setFault('must not lie in the future');
      return;
    }
    const result = { ...resultOf(draft, outcome), resultId: newId(), visitId: stop.visitId, beganAt, doneAt };
    if (!putInOutbox({ siteId: stop.siteId, result, by: me.email, refusal: null })) {
      setFault('this device keeps nothing: free some room, or leave private browsing');
      return;
    }
    drop();
    onRecorded();
  };
  return (
    <form class="form result-form" onSubmit={submit}>
      <h3>Record a result</h3>
      <fieldset class="field">
        <legend>Outcome</legend>
        <div class="choices">
          {OUTCOMES.map((value) => (
            <label key={value} class="choice">
              <input
                type="radio"
                name={`outcome-${stop.visitId}`}
                checked={outcome === value}
                onChange={() => change({ outcome: value })}
              />
              {OUTCOME_WORD[value]}
            </label>
          ))}
        </div>
      </fieldset>
      <div class="form-grid">
        <ChoiceField
          label="For"
          value={draft.alertId}
          onValue={chooseTask}
          options={[
            ...tasks.map(({ alertId: id, title }) => [String(id), title] as const),
            ['', 'Something else at this site'],
          ]}
        />
        <ChoiceField
          label="At point"
          value={draft.pointId}
          onValue={(pointId) => change({ pointId })}
          options={points.map(({ pointId: id, title }) => [String(id), title] as const)}
        />
      </div>
      <AreaField label="What I found" value={draft.found} onValue={(found) => change({ found })} />
      <AreaField label="What I did" value={draft.done} onValue={(done) => change({ done })} />
      <TextField label="Parts used" value={draft.parts} onValue={(parts) => change({ parts })} />
      <details>
        <summary>My own readings (the sweeps are taken by themselves)</summary>
        <div class="reading-fields">
          {READINGS.map((reading) => (
            <TextField
              key={reading}
              label={READING_LABEL[reading]}
              type="number"
              value={draft[reading]}
              onValue={(value) => change({ [reading]: value })}
            />
          ))}
        </div>
        <TextField
          label="On RF channel"
          value={draft.readChannel}
          onValue={(readChannel) => change({ readChannel })}
        />
      </details>
      <TextField
        label={`Work began, ${zoneName(stop.arriveAt, timeZone)}`}
        hint="Sweeps before this count as before the work; those after you save this, as after it."
        type="datetime-local"
        required
        value={draft.began}
        onValue={(began) => change({ began })}
        error={fault || undefined}
      />
      <div class="actions">
        <button type="submit" class="primary" disabled={outcome === null}>
          Save the result
        </button>
        <button
          type="button"
          onClick={() => {
            drop();
            onClose();
          }}
        >
          Discard
        </button>
        {outcome === null && <span class="quiet">Choose the outcome first.</span>}
      </div>
    </form>
  );
}

/** Works on a plain http address too, where browsers offer no `randomUUID`. */
function newId(): string {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  bytes[6] = (bytes[6]! & 0x0f) | 0x40;
  bytes[8] = (bytes[8]! & 0x3f) | 0x80;
  const hex = [...bytes].map((byte) => byte.toString(16).padStart(2, '0')).join('');
  return hex.replace(/^(.{8})(.{4})(.{4})(.{4})(.{12})$/, '$1-$2-$3-$4-$5');
}
