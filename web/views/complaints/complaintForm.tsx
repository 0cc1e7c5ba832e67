import { useState } from 'preact/hooks';
import type { NewComplaint, Symptom } from '../../../api/schemas/complaints.ts';
import type { SiteSetupView } from '../../../api/schemas/siteSetup.ts';
import { post } from '../../client.ts';
import { zoneName } from '../../format.ts';
import { ChoiceField, TextField } from '../../parts/field.tsx';
import { Failure } from '../../parts/notice.tsx';
import { type PickedSite, SitePicker } from '../../parts/sitePicker.tsx';
import { paths } from '../../paths.ts';
import { useLoad } from '../../useLoad.ts';
import { useSubmit } from '../../useSubmit.ts';
import { toInstant, toLocal } from '../../zonedTime.ts';
import { ChannelField } from './channelField.tsx';
import { SYMPTOM_WORD, SYMPTOMS } from './symptomWords.ts';

interface Draft {
  readonly symptom: Symptom | null;
  readonly said: string;
  readonly rfChannel: string | null;
  readonly pointId: string;
  readonly outlet: string;
  /** Local to the site; null is now. */
  readonly when: string | null;
  readonly note: string;
}

const BLANK: Draft = {
  symptom: null,
  said: '',
  rfChannel: null,
  pointId: '',
  outlet: '',
  when: null,
  note: '',
};

/** Logged in ten seconds: the building and what they saw are enough. */
export function ComplaintForm({ onLogged }: { onLogged: () => void }) {
  const [site, setSite] = useState<PickedSite | null>(null);
  const [draft, setDraft] = useState<Draft>(BLANK);
  const [logged, setLogged] = useState('');
  const setUp = useLoad<SiteSetupView>(site && paths.siteSetup(site.siteId));
  const { busy, error, fields, run } = useSubmit();
  const change = (changes: Partial<Draft>) => setDraft((old) => ({ ...old, ...changes }));
  const timeZone = setUp.data?.site.timeZone ?? 'UTC';
  const seenAt = draft.when === null ? null : toInstant(draft.when, timeZone);

  const submit = async (event: Event) => {
    event.preventDefault();
    if (!site || !draft.symptom) return;
    const complaint: NewComplaint = {
      symptom: draft.symptom,
      viewerChannel: draft.said,
      rfChannel: draft.rfChannel,
      pointId: draft.pointId === '' ? null : Number(draft.pointId),
      outlet: draft.outlet,
      note: draft.note,
      ...(seenAt && { seenAt }),
    };
    const through = await run(() => post(paths.siteComplaints(site.siteId), complaint));
    if (!through) return;
    setLogged(`Logged for ${site.name}.`);
    setSite(null);
    setDraft(BLANK);
    onLogged();
  };
  return (
    <form class="form complaint-form" onSubmit={submit}>
      <SitePicker
        label="Building"
        site={site}
        onSite={(picked) => {
          setSite(picked);
          setLogged('');
          change({ pointId: '', rfChannel: null });
        }}
      />
      <p class="logged" role="status">
        {logged}
      </p>
      {site && (
        <>
          <Symptoms chosen={draft.symptom} onChosen={(symptom) => change({ symptom })} />
          <ChannelField
            siteId={site.siteId}
            at={seenAt}
            said={draft.said}
            chosen={draft.rfChannel}
            error={fields['rfChannel'] ?? fields['viewerChannel']}
            onSaid={(said) => change({ said, rfChannel: null })}
            onChosen={(rfChannel) => change({ rfChannel })}
          />
          <div class="form-grid">
            <TextField
              label="Room, flat or outlet, if known"
              value={draft.outlet}
              onValue={(outlet) => change({ outlet })}
            />
            <ChoiceField
              label="Nearest test point, if known"
              value={draft.pointId}
              onValue={(pointId) => change({ pointId })}
              error={fields['pointId']}
              options={[
                ['', 'Not known'],
                ...(setUp.data?.points ?? []).map(
                  ({ pointId, name, label }) => [String(pointId), label || name] as const,
                ),
              ]}
            />
          </div>
          <When
            when={draft.when}
            timeZone={timeZone}
            error={fields['seenAt']}
            onWhen={(when) => change({ when })}
          />
          <TextField label="Note" value={draft.note} onValue={(note) => change({ note })} />
          {error && <Failure error={error} />}
          <div class="actions">
            <button type="submit" class="primary" disabled={busy || draft.symptom === null}>
              Log it
            </button>
            {draft.symptom === null && <span class="quiet">Choose what they saw first.</span>}
          </div>
        </>
      )}
    </form>
  );
}

function Symptoms({ chosen, onChosen }: { chosen: Symptom | null; onChosen: (symptom: Symptom) => void }) {
  return (
    <fieldset class="field">
      <legend>What did they see?</legend>
      <div class="choices">
        {SYMPTOMS.map((symptom) => (
          <label key={symptom} class="choice">
            <input
              type="radio"
              name="symptom"
              checked={chosen === symptom}
              onChange={() => onChosen(symptom)}
            />
            {SYMPTOM_WORD[symptom]}
          </label>
        ))}
      </div>
    </fieldset>
  );
}

interface WhenProps {
  when: string | null;
  timeZone: string;
  error: string | undefined;
  onWhen: (when: string | null) => void;
}

function When({ when, timeZone, error, onWhen }: WhenProps) {
  const now = () => new Date().toISOString();
  return (
    <div class="form-grid">
      <ChoiceField
        label="When"
        value={when === null ? 'now' : 'then'}
        onValue={(value) => onWhen(value === 'now' ? null : toLocal(now(), timeZone))}
        options={[
          ['now', 'Now'],
          ['then', 'At another time'],
        ]}
      />
      {when !== null && (
        <TextField
          label={`Time in the building, ${zoneName(now(), timeZone)}`}
          type="datetime-local"
          required
          value={when}
          onValue={onWhen}
          error={error}
        />
      )}
    </div>
  );
}
