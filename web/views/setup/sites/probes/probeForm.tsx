import { useState } from 'preact/hooks';
import type { PointSetup } from '../../../../../api/schemas/siteSetup.ts';
import { ChoiceField, TextField } from '../../../../parts/field.tsx';
import { Failure } from '../../../../parts/notice.tsx';
import { useSubmit } from '../../../../useSubmit.ts';
import { HttpFields } from './httpFields.tsx';
import { ModemFields } from './modemFields.tsx';
import type { CommonDraft, ProbeDraft } from './probeDraft.ts';

interface ProbeFormProps {
  initial: ProbeDraft;
  points: readonly PointSetup[];
  timeZone: string;
  /** The probe is there already: its kind stays, and so do its secrets where none is typed. */
  isThere: boolean;
  does: string;
  onSend: (draft: ProbeDraft) => Promise<void>;
  onCancel: () => void;
}

const KINDS = [
  ['modem', 'a cable modem, by SNMP'],
  ['http', 'an instrument with a web address'],
] as const;
const SCHEDULES = [
  ['every', 'every so many minutes'],
  ['cron', 'by a cron expression'],
] as const;

/** One instrument that the server reads: where it is, how it lets itself be read, and when. */
export function ProbeForm(props: ProbeFormProps) {
  const { initial, points, timeZone, isThere, does, onSend, onCancel } = props;
  const [draft, setDraft] = useState(initial);
  const { run, busy, error, fields } = useSubmit();
  const tie = (name: keyof CommonDraft, path: string) => ({
    value: draft[name],
    error: fields[path],
    onValue: (value: string) => setDraft((old) => ({ ...old, [name]: value })),
  });
  const kind = { faults: fields, keepsSecrets: isThere };
  const submit = async (event: Event) => {
    event.preventDefault();
    await run(() => onSend(draft));
  };
  return (
    <form class="form point-form" onSubmit={submit}>
      <div class="form-grid">
        <TextField
          label="Name"
          required
          hint="Such as “modem in the riser cupboard”."
          {...tie('name', 'name')}
        />
        <ChoiceField
          label="Point that it measures"
          options={points.map((point) => [String(point.pointId), point.label || point.name] as const)}
          {...tie('pointId', 'pointId')}
        />
        {!isThere && (
          <ChoiceField
            label="What is read"
            options={KINDS}
            value={draft.kind}
            error={fields['kind']}
            onValue={(value) => setDraft((old) => ({ ...old, kind: value as ProbeDraft['kind'] }))}
          />
        )}
      </div>
      {draft.kind === 'modem' ? (
        <ModemFields
          {...kind}
          draft={draft.modem}
          onChange={(changed) => setDraft((old) => ({ ...old, modem: { ...old.modem, ...changed } }))}
        />
      ) : (
        <HttpFields
          {...kind}
          draft={draft.http}
          timeZone={timeZone}
          onChange={(changed) => setDraft((old) => ({ ...old, http: { ...old.http, ...changed } }))}
        />
      )}
      <div class="form-grid">
        <ChoiceField label="Read" options={SCHEDULES} {...tie('scheduleKind', 'schedule.kind')} />
        {draft.scheduleKind === 'every' ? (
          <TextField
            label="Minutes between readings"
            type="number"
            hint="0.5 to 1440. Probes are spread, so that they are not all read at once."
            {...tie('everyMinutes', 'schedule.intervalS')}
          />
        ) : (
          <TextField
            label="Cron expression"
            hint={`Minute, hour, day, month, weekday; ${timeZone}. Read up to five minutes after.`}
            {...tie('expression', 'schedule.expression')}
          />
        )}
        <TextField label="Give up after, seconds" type="number" {...tie('timeoutS', 'timeoutS')} />
        <TextField
          label="Rest between readings, seconds"
          type="number"
          hint="Whoever asks, the instrument is left alone so long."
          {...tie('floorS', 'floorS')}
        />
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
