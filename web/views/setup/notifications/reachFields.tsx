import type { Reach } from '../../../../api/schemas/notify.ts';
import { CheckField } from '../../../parts/checkField.tsx';
import { ChoiceField, TextField } from '../../../parts/field.tsx';
import { CLOCK_OPTIONS, DAY_WORD } from './reachDraft.ts';

interface ReachFieldsProps {
  reach: Reach;
  onReach: (reach: Reach) => void;
  /** Path before the names of fields in the server's complaints, such as "reach.". */
  prefix?: string;
  fields: Readonly<Record<string, string>>;
}

/** When messages may come: zone, quiet hours, working days, digests. */
export function ReachFields({ reach, onReach, prefix = '', fields }: ReachFieldsProps) {
  const { quiet, workDays, digest } = reach;
  const set = (change: Partial<Reach>) => onReach({ ...reach, ...change });
  const error = (name: string) => fields[prefix + name];
  return (
    <>
      <fieldset class="group">
        <legend>Days on which messages come</legend>
        <div class="checks">
          {DAY_WORD.map((word, i) => (
            <CheckField
              key={word}
              label={word}
              checked={workDays.includes(i + 1)}
              onChecked={(on) =>
                set({ workDays: on ? [...workDays, i + 1] : workDays.filter((day) => day !== i + 1) })
              }
            />
          ))}
        </div>
        {error('workDays') && <p class="field-error">{error('workDays')}</p>}
      </fieldset>
      <div class="form-grid">
        <ChoiceField
          label="Quiet hours"
          options={[
            ['', 'none'],
            ['set', 'from … to …'],
          ]}
          value={quiet ? 'set' : ''}
          onValue={(value) => set({ quiet: value === '' ? null : { from: '20:00', to: '07:00' } })}
        />
        {quiet && (
          <>
            <ChoiceField
              label="Quiet from"
              options={CLOCK_OPTIONS}
              value={quiet.from}
              onValue={(from) => set({ quiet: { ...quiet, from } })}
              error={error('quiet.from')}
            />
            <ChoiceField
              label="Quiet until"
              options={CLOCK_OPTIONS}
              value={quiet.to}
              onValue={(to) => set({ quiet: { ...quiet, to } })}
              error={error('quiet.to')}
            />
          </>
        )}
        <TextField
          label="Time zone"
          required
          hint="Such as America/Chicago."
          value={reach.timeZone}
          onValue={(timeZone) => set({ timeZone })}
          error={error('timeZone')}
        />
      </div>
      <fieldset class="group">
        <legend>Digests</legend>
        <div class="checks">
          <CheckField
            label="Each of these days, unless there is nothing to tell"
            checked={digest.daily}
            onChecked={(daily) => set({ digest: { ...digest, daily } })}
          />
          <CheckField
            label="Once a week, on the first of these days"
            checked={digest.weekly}
            onChecked={(weekly) => set({ digest: { ...digest, weekly } })}
          />
        </div>
        {(digest.daily || digest.weekly) && (
          <div class="inline-form">
            <ChoiceField
              label="Sent at"
              options={CLOCK_OPTIONS}
              value={digest.at}
              onValue={(at) => set({ digest: { ...digest, at } })}
              error={error('digest.at')}
            />
          </div>
        )}
      </fieldset>
    </>
  );
}
