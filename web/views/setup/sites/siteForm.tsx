import { useState } from 'preact/hooks';
import type { z } from 'zod';
import type { PlansSchema } from '../../../../api/schemas/plans.ts';
import type { ProvidersSchema } from '../../../../api/schemas/providers.ts';
import type { NewSiteInput } from '../../../../api/schemas/siteSetup.ts';
import { AreaField, ChoiceField, TextField } from '../../../parts/field.tsx';
import { Failure } from '../../../parts/notice.tsx';
import { paths } from '../../../paths.ts';
import { useLoad } from '../../../useLoad.ts';
import { useSubmit } from '../../../useSubmit.ts';
import { type SiteDraft, siteInput } from './siteDraft.ts';

interface SiteFormProps {
  initial: SiteDraft;
  does: string;
  onSend: (site: NewSiteInput) => Promise<void>;
  /** Whether provider and channel plan are asked for here too. */
  feed?: boolean;
}

type Tie = (name: keyof SiteDraft) => {
  value: string;
  error: string | undefined;
  onValue: (value: string) => void;
};

/** What is known of a building. */
export function SiteForm({ initial, does, onSend, feed = true }: SiteFormProps) {
  const [draft, setDraft] = useState(initial);
  const [saved, setSaved] = useState(false);
  const { run, busy, error, fields } = useSubmit();
  const tie: Tie = (name) => ({
    value: draft[name],
    error: fields[name],
    onValue: (value: string) => {
      setSaved(false);
      setDraft((old) => ({ ...old, [name]: value }));
    },
  });
  const submit = async (event: Event) => {
    event.preventDefault();
    setSaved(await run(() => onSend(siteInput(draft))));
  };
  return (
    <form class="form" onSubmit={submit}>
      <div class="form-grid">
        <TextField label="Name" required {...tie('name')} />
        <TextField label="Town" {...tie('town')} />
        <TextField label="Address" {...tie('address')} />
        <TextField
          label="Time zone"
          required
          hint="Such as America/Chicago. Times are shown in it."
          {...tie('timeZone')}
        />
        <TextField label="Outlets in the building" type="number" required {...tie('outlets')} />
        {feed && <FeedFields tie={tie} />}
        <TextField label="Contact at the site" {...tie('contact')} />
        <TextField label="Latitude, degrees" type="number" hint="May stay empty." {...tie('latitude')} />
        <TextField label="Longitude, degrees" type="number" hint="May stay empty." {...tie('longitude')} />
      </div>
      <AreaField
        label="Access notes"
        hint="Keys, hours, escorts: what a technician must know before going."
        {...tie('accessNotes')}
      />
      {error && <Failure error={error} />}
      <div class="actions">
        <button type="submit" class="primary" disabled={busy}>
          {does}
        </button>
        <span role="status">{saved && 'Saved.'}</span>
      </div>
    </form>
  );
}

function FeedFields({ tie }: { tie: Tie }) {
  const providers = useLoad<z.infer<typeof ProvidersSchema>>(paths.providers);
  const plans = useLoad<z.infer<typeof PlansSchema>>(paths.plans);
  return (
    <>
      <ChoiceField
        label="Provider"
        hint="Who hands the feed over."
        options={[
          ['', 'not set'],
          ...(providers.data?.providers ?? []).map((p) => [String(p.providerId), p.name] as const),
        ]}
        {...tie('providerId')}
      />
      <ChoiceField
        label="Channel plan"
        hint="The channels that the feed should carry."
        options={[
          ['', 'not set'],
          ...(plans.data?.plans ?? []).map((p) => [String(p.planId), p.name] as const),
        ]}
        {...tie('planId')}
      />
    </>
  );
}
