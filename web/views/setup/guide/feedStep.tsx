import { useState } from 'preact/hooks';
import type { z } from 'zod';
import type { PlansSchema } from '../../../../api/schemas/plans.ts';
import type { Provider, ProvidersSchema } from '../../../../api/schemas/providers.ts';
import { patch, post } from '../../../client.ts';
import { ChoiceField, TextField } from '../../../parts/field.tsx';
import { Failure } from '../../../parts/notice.tsx';
import { paths } from '../../../paths.ts';
import { useLoad } from '../../../useLoad.ts';
import { useSubmit } from '../../../useSubmit.ts';
import { numberOrNull } from '../sites/siteDraft.ts';
import { FoundPlanPanel } from './foundPlanPanel.tsx';
import type { StepProps } from './stepBody.tsx';

/** Who hands the feed over, and which channels it carries. */
export function FeedStep({ setup, progress, onChanged }: StepProps) {
  const { siteId, providerId, planId } = setup.site;
  const providers = useLoad<z.infer<typeof ProvidersSchema>>(paths.providers);
  const plans = useLoad<z.infer<typeof PlansSchema>>(paths.plans);
  const saving = useSubmit();
  const save = (change: { providerId?: number | null; planId?: number | null }) =>
    saving.run(() => patch(paths.site(siteId), change).then(onChanged));
  const failure = providers.error ?? plans.error ?? saving.error;
  const planUsed = () => {
    plans.reload();
    onChanged();
  };
  return (
    <>
      <section class="panel" aria-labelledby="provider-title">
        <h3 id="provider-title">Provider</h3>
        {failure && <Failure error={failure} />}
        <div class="form">
          <ChoiceField
            label="Who hands the feed over"
            value={providerId === null ? '' : String(providerId)}
            options={[
              ['', 'not set'],
              ...(providers.data?.providers ?? []).map((p) => [String(p.providerId), p.name] as const),
            ]}
            onValue={(value) => save({ providerId: numberOrNull(value) })}
          />
        </div>
        <AddProvider
          onAdded={async (provider) => {
            await patch(paths.site(siteId), { providerId: provider.providerId });
            providers.reload();
            onChanged();
          }}
        />
      </section>
      <section class="panel" aria-labelledby="plan-title">
        <h3 id="plan-title">Channel plan</h3>
        <div class="form">
          <ChoiceField
            label="The channels that the feed should carry"
            hint="A choice is kept at once. If none fits, have the plan found from a first sweep, below."
            value={planId === null ? '' : String(planId)}
            options={[
              ['', 'not set'],
              ...(plans.data?.plans ?? []).map((p) => [String(p.planId), p.name] as const),
            ]}
            onValue={(value) => save({ planId: numberOrNull(value) })}
          />
        </div>
      </section>
      <FoundPlanPanel site={setup.site} points={progress.points} onUsed={planUsed} />
    </>
  );
}

function AddProvider({ onAdded }: { onAdded: (provider: Provider) => Promise<void> }) {
  const [name, setName] = useState('');
  const [contact, setContact] = useState('');
  const { run, busy, error, fields } = useSubmit();
  const submit = async (event: Event) => {
    event.preventDefault();
    const through = await run(async () => onAdded(await post<Provider>(paths.providers, { name, contact })));
    if (!through) return;
    setName('');
    setContact('');
  };
  return (
    <details>
      <summary>Add a provider that is not in the list</summary>
      <form class="form" onSubmit={submit}>
        <TextField label="Provider’s name" required value={name} onValue={setName} error={fields['name']} />
        <TextField
          label="How to reach them about a handoff"
          value={contact}
          onValue={setContact}
          error={fields['contact']}
        />
        {error && <Failure error={error} />}
        <div class="actions">
          <button type="submit" class="primary" disabled={busy}>
            Add and use here
          </button>
        </div>
      </form>
    </details>
  );
}
