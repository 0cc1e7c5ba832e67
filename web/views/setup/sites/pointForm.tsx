import { useState } from 'preact/hooks';
import type { NewPointInput, PointSetup } from '../../../../api/schemas/siteSetup.ts';
import type { PointKind } from '../../../../ingest/store/schema.ts';
import { ChoiceField, TextField } from '../../../parts/field.tsx';
import { Failure } from '../../../parts/notice.tsx';
import { useSubmit } from '../../../useSubmit.ts';
import { KIND_WORD } from '../../../words.ts';
import type { PointDraft } from './pointDraft.ts';
import { pointInput } from './pointDraft.ts';

interface PointFormProps {
  initial: PointDraft;
  feeders: readonly PointSetup[];
  does: string;
  onSend: (point: NewPointInput) => Promise<void>;
  onCancel: () => void;
}

const KINDS = Object.entries(KIND_WORD) as [PointKind, string][];

/** One test point: what it is, what feeds it, and what lies between. */
export function PointForm({ initial, feeders, does, onSend, onCancel }: PointFormProps) {
  const [draft, setDraft] = useState(initial);
  const { run, busy, error, fields } = useSubmit();
  const tie = (name: Exclude<keyof PointDraft, 'correctsItself'>, path: string = name) => ({
    value: draft[name],
    error: fields[path],
    onValue: (value: string) => setDraft((old) => ({ ...old, [name]: value })),
  });
  const submit = async (event: Event) => {
    event.preventDefault();
    await run(() => onSend(pointInput(draft)));
  };
  const feederOptions = feeders.map((p) => [String(p.pointId), p.label || p.name] as const);
  return (
    <form class="form point-form" onSubmit={submit}>
      <div class="form-grid">
        <TextField
          label="Name in sweeps"
          required
          hint="What the box or meter sends as “point”."
          {...tie('name')}
        />
        <TextField label="Label" hint="What people call it: “Riser amplifier, floor 5”." {...tie('label')} />
        <ChoiceField label="Kind" options={KINDS} hint="Decides which limit set it takes." {...tie('kind')} />
        <ChoiceField
          label="Fed by"
          options={[['', 'nothing: the provider’s feed'], ...feederOptions]}
          {...tie('fedBy')}
        />
        <TextField
          label="What lies between"
          hint="Cable and passives: “62 m series 11”."
          {...tie('hopNote')}
        />
        <TextField
          label="Outlets on this point"
          type="number"
          hint="Those that hang on no point below it."
          {...tie('outlets')}
        />
        <TextField label="A sweep every, minutes" type="number" {...tie('intervalMinutes', 'intervalS')} />
        <div class="field">
          <label class="check">
            <input
              type="checkbox"
              checked={draft.correctsItself}
              onChange={(event) =>
                setDraft((old) => ({
                  ...old,
                  correctsItself: event.target instanceof HTMLInputElement && event.target.checked,
                }))
              }
            />
            Corrects level and tilt by itself
          </label>
          <p class="field-hint">Such gear hides a change upstream until it leaves its window.</p>
        </div>
        {draft.correctsItself && (
          <TextField label="Its window, ± dB" type="number" {...tie('correctionWindowDb')} />
        )}
      </div>
      {error && <Failure error={error} />}
      <div class="actions">
        <button type="submit" class="primary" disabled={busy}>
          {does}
        </button>
        <button type="button" onClick={onCancel}>
          Cancel
        </button>
      </div>
    </form>
  );
}
