import { useState } from 'preact/hooks';
import type { z } from 'zod';
import type { NotifyView, RuleView } from '../../../../api/schemas/notify.ts';
import type { ProvidersSchema } from '../../../../api/schemas/providers.ts';
import { post, put } from '../../../client.ts';
import { CheckField } from '../../../parts/checkField.tsx';
import { ChoiceField, TextField } from '../../../parts/field.tsx';
import { Failure } from '../../../parts/notice.tsx';
import { paths } from '../../../paths.ts';
import { useLoad } from '../../../useLoad.ts';
import { useSubmit } from '../../../useSubmit.ts';
import { ProviderPick, SitePick } from './placeFields.tsx';
import { Preview } from './preview.tsx';
import { draftOf, draftSentence, newDraft, type RuleDraft, ruleOf } from './ruleDraft.ts';
import { StepFields } from './stepFields.tsx';

interface RuleFormProps {
  view: NotifyView;
  initial?: RuleView;
  onDone: () => void;
  onCancel: () => void;
}

/** A rule being written: its sentence and what it would have sent stand beside it all the while. */
export function RuleForm({ view, initial, onDone, onCancel }: RuleFormProps) {
  const [draft, setDraft] = useState(() =>
    initial ? draftOf(initial) : newDraft(view.targets[0]?.targetId),
  );
  const [siteNames, setSiteNames] = useState(
    () => new Map((initial?.sites ?? []).map(({ siteId, name }) => [siteId, name])),
  );
  const providers = useLoad<z.infer<typeof ProvidersSchema>>(paths.providers);
  const providerNames = new Map((providers.data?.providers ?? []).map((p) => [p.providerId, p.name]));
  const { run, busy, error, fields } = useSubmit();
  const set = (change: Partial<RuleDraft>) => setDraft((old) => ({ ...old, ...change }));
  const setAbout = (change: Partial<RuleDraft['about']>) =>
    setDraft((old) => ({ ...old, about: { ...old.about, ...change } }));

  const submit = (event: Event) => {
    event.preventDefault();
    run(async () => {
      const rule = ruleOf(draft);
      await (initial ? put(paths.notifyRule(initial.ruleId), rule) : post(paths.notifyRules, rule));
      onDone();
    });
  };
  return (
    <form class="form boxed" onSubmit={submit}>
      <h3>{initial ? `Change “${initial.name}”` : 'A new rule'}</h3>
      <div class="form-grid">
        <TextField
          label="Name"
          required
          hint="Messages say which rule sent them."
          value={draft.name}
          onValue={(name) => set({ name })}
          error={fields['name']}
        />
        <AboutFields about={draft.about} onAbout={setAbout} fields={fields} />
      </div>
      <div class="form-grid">
        <SitePick
          ids={draft.about.siteIds}
          onIds={(siteIds) => setAbout({ siteIds })}
          names={siteNames}
          onName={(id, name) => setSiteNames((old) => new Map(old).set(id, name))}
          error={fields['about.siteIds']}
        />
        <ProviderPick
          ids={draft.about.providerIds}
          onIds={(providerIds) => setAbout({ providerIds })}
          names={providerNames}
          error={fields['about.providerIds']}
        />
      </div>
      <StepFields
        steps={draft.steps}
        onSteps={(steps) => set({ steps })}
        targets={view.targets}
        fields={fields}
      />
      <fieldset class="group">
        <legend>When</legend>
        <div class="inline-form">
          <TextField
            label="Wait before telling, minutes"
            type="number"
            hint="What clears in the meantime is not told."
            value={draft.delayMin}
            onValue={(delayMin) => set({ delayMin })}
            error={fields['delayMin']}
          />
        </div>
        <div class="checks">
          <CheckField
            label="Also when it gets worse"
            checked={draft.tellsWorse}
            onChecked={(tellsWorse) => set({ tellsWorse })}
          />
          <CheckField
            label="Also when it has returned to normal"
            checked={draft.tellsReturn}
            onChecked={(tellsReturn) => set({ tellsReturn })}
          />
          <CheckField
            label="Even in somebody’s quiet hours"
            checked={draft.throughQuiet}
            onChecked={(throughQuiet) => set({ throughQuiet })}
          />
        </div>
      </fieldset>
      <p class="rule-sentence">{draftSentence(draft, view, siteNames, providerNames)}</p>
      <Preview draft={draft} />
      {error && <Failure error={error} />}
      <div class="actions">
        <button type="submit" class="primary" disabled={busy}>
          {initial ? 'Save the rule' : 'Add the rule'}
        </button>
        <button type="button" onClick={onCancel}>
          Cancel
        </button>
      </div>
    </form>
  );
}

interface AboutFieldsProps {
  about: RuleDraft['about'];
  onAbout: (change: Partial<RuleDraft['about']>) => void;
  fields: Readonly<Record<string, string>>;
}

function AboutFields({ about, onAbout, fields }: AboutFieldsProps) {
  return (
    <>
      <ChoiceField
        label="Severity"
        options={[
          ['critical', 'critical'],
          ['major', 'major or worse'],
          ['minor', 'minor or worse'],
          ['warning', 'all'],
        ]}
        value={about.severityAtLeast}
        onValue={(value) => onAbout({ severityAtLeast: value as RuleDraft['about']['severityAtLeast'] })}
        error={fields['about.severityAtLeast']}
      />
      <ChoiceField
        label="Kind"
        options={[
          ['', 'any'],
          ['site', 'of a single site'],
          ['provider-event', 'provider events, over many sites'],
        ]}
        value={about.kind ?? ''}
        onValue={(value) => onAbout({ kind: (value || null) as RuleDraft['about']['kind'] })}
      />
      <ChoiceField
        label="Whose side"
        options={[
          ['', 'any'],
          ['building', 'the building’s'],
          ['provider', 'the provider’s'],
          ['unsure', 'not sure'],
        ]}
        value={about.side ?? ''}
        onValue={(value) => onAbout({ side: (value || null) as RuleDraft['about']['side'] })}
      />
      <TextField
        label="Only with less than so many days left"
        type="number"
        hint="Empty: however long is left."
        value={about.daysLeftUnder}
        onValue={(daysLeftUnder) => onAbout({ daysLeftUnder })}
        error={fields['about.daysLeftUnder']}
      />
    </>
  );
}
