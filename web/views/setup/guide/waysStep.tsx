import { useState } from 'preact/hooks';
import type { PointProgress } from '../../../../api/schemas/siteProgress.ts';
import { put } from '../../../client.ts';
import { ChoiceField, TextField } from '../../../parts/field.tsx';
import { Link } from '../../../parts/link.tsx';
import { Failure } from '../../../parts/notice.tsx';
import { paths } from '../../../paths.ts';
import { useSubmit } from '../../../useSubmit.ts';
import { KIND_WORD } from '../../../words.ts';
import type { StepProps } from './stepBody.tsx';
import { WAY_HINT, WAY_WORD, type WayDraft, wayDraft, wayGoesOn, wayInput } from './wayDraft.ts';

/** For each point, what reads it. */
export function WaysStep({ setup, progress, onChanged }: StepProps) {
  if (progress.points.length === 0) return <p>There is no point yet: add points first.</p>;
  return (
    <>
      <p>
        What reads each point? No password belongs here: those go into a file on the box itself. How often a
        point is read is set with the point.
      </p>
      {progress.points.map((point) => (
        <WayForm key={point.pointId} siteId={setup.site.siteId} point={point} onChanged={onChanged} />
      ))}
    </>
  );
}

interface WayFormProps {
  siteId: number;
  point: PointProgress;
  onChanged: () => void;
}

function WayForm({ siteId, point, onChanged }: WayFormProps) {
  const [draft, setDraft] = useState(() => wayDraft(point.way));
  const [saved, setSaved] = useState(false);
  const { run, busy, error, fields } = useSubmit();
  const input = wayInput(draft);
  const change = (changed: Partial<WayDraft>) => {
    setSaved(false);
    setDraft((old) => ({ ...old, ...changed }));
  };
  const tie = (name: 'host' | 'user' | 'program' | 'folder' | 'instrument') => ({
    value: draft[name],
    error: fields[name],
    onValue: (value: string) => change({ [name]: value }),
  });
  const submit = async (event: Event) => {
    event.preventDefault();
    if (input === null) return;
    const through = await run(() => put(paths.readingWay(siteId, point.pointId), input));
    setSaved(through);
    if (through) onChanged();
  };
  const goesOn = point.way?.way === draft.way ? wayGoesOn(point.way?.way, siteId, point.pointId) : null;
  const titleId = `way-${point.pointId}`;
  return (
    <section class="panel" aria-labelledby={titleId}>
      <h3 id={titleId}>
        {point.title}
        {point.title !== KIND_WORD[point.kind] && <span class="quiet"> {KIND_WORD[point.kind]}</span>}
      </h3>
      <form class="form" onSubmit={submit}>
        <div class="form-grid">
          <ChoiceField
            label="How its readings come"
            hint={draft.way === '' ? undefined : WAY_HINT[draft.way]}
            value={draft.way}
            options={[['', 'not decided'], ...(Object.entries(WAY_WORD) as [string, string][])]}
            onValue={(value) => change({ way: value as WayDraft['way'] })}
          />
          {draft.way === 'agent-modem' && (
            <>
              <TextField label="Address of the modem" required hint="Such as 192.0.2.10." {...tie('host')} />
              <TextField label="SNMP v3 user" hint="Leave empty for SNMP v2c." {...tie('user')} />
            </>
          )}
          {draft.way === 'agent-command' && (
            <TextField
              label="Program"
              required
              hint="Its full path on the box. It prints a sweep."
              {...tie('program')}
            />
          )}
          {draft.way === 'agent-folder' && (
            <>
              <TextField
                label="Folder on the box"
                required
                hint="One folder a point, such as “attic”."
                {...tie('folder')}
              />
              <TextField
                label="Name of the meter"
                required
                hint="Such as “meter-3”."
                {...tie('instrument')}
              />
              <ChoiceField
                label="Files"
                value={draft.format}
                options={[
                  ['csv', 'a table of the meter’s own (CSV)'],
                  ['contract', 'sweeps in Levelkeep’s own JSON'],
                ]}
                onValue={(value) => change({ format: value as WayDraft['format'] })}
              />
            </>
          )}
        </div>
        {error && <Failure error={error} />}
        <div class="actions">
          <button
            type="submit"
            class="primary"
            disabled={busy || input === null}
            aria-label={`Keep how ${point.title} is read`}
          >
            Keep
          </button>
          <span role="status">{saved && 'Kept.'}</span>
          {goesOn !== null && (
            <Link href={goesOn.href} class="button" label={`${goesOn.words}: ${point.title}`}>
              {goesOn.words}
            </Link>
          )}
        </div>
      </form>
    </section>
  );
}
