import { useState } from 'preact/hooks';
import type { FleetLimitChoiceInput, LimitSetView, LimitView } from '../../../../api/schemas/limits.ts';
import { AreaField, ChoiceField, TextField } from '../../../parts/field.tsx';
import { Failure } from '../../../parts/notice.tsx';
import { useSubmit } from '../../../useSubmit.ts';
import { numberOrNull } from '../sites/siteDraft.ts';
import { limitSubject } from './limitWords.ts';

export type LimitChoice = Pick<FleetLimitChoiceInput, 'setId' | 'reason'> & {
  changes: NonNullable<FleetLimitChoiceInput['changes']>;
};

interface LimitChoiceFormProps {
  sets: readonly LimitSetView[];
  /** What the choice is for: a kind of point, or one point. */
  targets: readonly (readonly [value: string, words: string])[];
  targetLabel: string;
  /** The set that a target takes until this choice is made. */
  setInForce: (target: string) => string | undefined;
  onSend: (target: string, choice: LimitChoice) => Promise<void>;
}

type Figures = { min: string; target: string; max: string };

/** Choose a set for points, change single figures of it, and say why; the reason is kept. */
export function LimitChoiceForm({ sets, targets, targetLabel, setInForce, onSend }: LimitChoiceFormProps) {
  const [target, setTarget] = useState(targets[0]?.[0] ?? '');
  const [setId, setSetId] = useState(setInForce(target) ?? '');
  const [figures, setFigures] = useState<Record<string, Figures>>({});
  const [reason, setReason] = useState('');
  const { run, busy, error, fields } = useSubmit();
  const set = sets.find((candidate) => candidate.id === setId);
  const chooseSet = (id: string) => {
    setSetId(id);
    setFigures({});
  };

  const submit = async (event: Event) => {
    event.preventDefault();
    const changes = (set?.limits ?? []).flatMap((limit) => changeOf(limit, figures[keyOf(limit)]));
    const through = await run(() => onSend(target, { setId, changes, reason }));
    if (!through) return;
    setFigures({});
    setReason('');
  };
  return (
    <form class="form" onSubmit={submit}>
      <div class="form-grid">
        <ChoiceField
          label={targetLabel}
          options={targets}
          value={target}
          onValue={(value) => {
            setTarget(value);
            chooseSet(setInForce(value) ?? setId);
          }}
          error={fields['kind']}
        />
        <ChoiceField
          label="Limit set"
          options={sets.map((candidate) => [candidate.id, candidate.name] as const)}
          value={setId}
          onValue={chooseSet}
          error={fields['setId']}
        />
      </div>
      {set && (
        <details>
          <summary>Change single figures of this set</summary>
          {set.limits.map((limit) => (
            <FigureFields
              key={keyOf(limit)}
              limit={limit}
              figures={figures[keyOf(limit)] ?? figuresOf(limit)}
              onFigures={(changed) => setFigures((old) => ({ ...old, [keyOf(limit)]: changed }))}
            />
          ))}
        </details>
      )}
      <AreaField
        label="Reason"
        required
        hint="Kept for good and shown as the source of what was changed."
        value={reason}
        onValue={setReason}
        error={fields['reason']}
      />
      {error && <Failure error={error} />}
      <div class="actions">
        <button type="submit" class="primary" disabled={busy}>
          Choose these limits
        </button>
      </div>
    </form>
  );
}

const keyOf = (limit: LimitView) => `${limit.quantity} ${limit.modulation ?? ''}`;

const textOf = (value: number | null) => (value === null ? '' : String(value));

const figuresOf = (limit: LimitView): Figures => ({
  min: textOf(limit.min),
  target: textOf(limit.target),
  max: textOf(limit.max),
});

/** What was changed against the set, and nothing else. */
function changeOf(limit: LimitView, figures: Figures | undefined): LimitChoice['changes'] {
  if (!figures) return [];
  const before = figuresOf(limit);
  const changed = (['min', 'target', 'max'] as const).filter((name) => figures[name] !== before[name]);
  if (changed.length === 0) return [];
  return [
    {
      quantity: limit.quantity,
      ...(limit.modulation === null ? {} : { modulation: limit.modulation }),
      ...Object.fromEntries(changed.map((name) => [name, numberOrNull(figures[name])])),
    },
  ];
}

interface FigureFieldsProps {
  limit: LimitView;
  figures: Figures;
  onFigures: (figures: Figures) => void;
}

function FigureFields({ limit, figures, onFigures }: FigureFieldsProps) {
  return (
    <fieldset class="figure-fields">
      <legend>
        {limitSubject(limit)}, {limit.unit}
      </legend>
      {(['min', 'target', 'max'] as const).map((name) => (
        <TextField
          key={name}
          label={FIGURE_WORD[name]}
          type="number"
          value={figures[name]}
          onValue={(value) => onFigures({ ...figures, [name]: value })}
        />
      ))}
    </fieldset>
  );
}

const FIGURE_WORD = { min: 'At least', target: 'Aim at', max: 'At most' } as const;
