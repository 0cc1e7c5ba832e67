import type { TargetView } from '../../../../api/schemas/notify.ts';
import { CheckField } from '../../../parts/checkField.tsx';
import { TextField } from '../../../parts/field.tsx';
import type { RuleDraft } from './ruleDraft.ts';
import { targetTitle } from './targetWords.ts';

interface StepFieldsProps {
  steps: RuleDraft['steps'];
  onSteps: (steps: RuleDraft['steps']) => void;
  targets: readonly TargetView[];
  fields: Readonly<Record<string, string>>;
}

/** Whom to tell first, and whom next while nobody acknowledges. */
export function StepFields({ steps, onSteps, targets, fields }: StepFieldsProps) {
  const set = (index: number, change: Partial<RuleDraft['steps'][number]>) =>
    onSteps(steps.map((step, i) => (i === index ? { ...step, ...change } : step)));
  const addNext = () => {
    const last = Number(steps.at(-1)?.afterMin ?? 0);
    onSteps([...steps, { afterMin: String(last + 30), targetIds: [] }]);
  };
  return (
    <>
      {steps.map((step, index) => (
        <fieldset class="group" key={index}>
          <legend>{index === 0 ? 'Tell first' : 'If nobody has acknowledged, tell next'}</legend>
          {index > 0 && (
            <div class="inline-form">
              <TextField
                label="Minutes after the first were told"
                type="number"
                required
                value={step.afterMin}
                onValue={(afterMin) => set(index, { afterMin })}
                error={fields[`steps.${index}.afterMin`]}
              />
            </div>
          )}
          <div class="checks">
            {targets.map((target) => (
              <CheckField
                key={target.targetId}
                label={targetTitle(target)}
                checked={step.targetIds.includes(target.targetId)}
                onChecked={(on) =>
                  set(index, {
                    targetIds: on
                      ? [...step.targetIds, target.targetId]
                      : step.targetIds.filter((id) => id !== target.targetId),
                  })
                }
              />
            ))}
          </div>
          {fields[`steps.${index}.targetIds`] && (
            <p class="field-error">{fields[`steps.${index}.targetIds`]}</p>
          )}
          {index > 0 && (
            <button
              type="button"
              class="small"
              onClick={() => onSteps(steps.filter((_, other) => other !== index))}
            >
              Take this step out
            </button>
          )}
        </fieldset>
      ))}
      {fields['steps'] && <p class="field-error">The steps {fields['steps']}.</p>}
      <div class="actions">
        <button type="button" onClick={addNext}>
          Add who is told next
        </button>
      </div>
    </>
  );
}
