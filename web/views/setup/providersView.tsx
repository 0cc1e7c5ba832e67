import { useState } from 'preact/hooks';
import type { z } from 'zod';
import type { Provider, ProvidersSchema } from '../../../api/schemas/providers.ts';
import { del, patch, post } from '../../client.ts';
import { plural } from '../../format.ts';
import { ConfirmButton } from '../../parts/confirmButton.tsx';
import { TextField } from '../../parts/field.tsx';
import { Failure, Waiting } from '../../parts/notice.tsx';
import { paths } from '../../paths.ts';
import { useLoad } from '../../useLoad.ts';
import { useSubmit } from '../../useSubmit.ts';
import { SetupMain } from './setupMain.tsx';

/** Who hands feeds over, and how to reach them about a handoff. */
export function ProvidersView() {
  const { data, error, reload } = useLoad<z.infer<typeof ProvidersSchema>>(paths.providers);
  const [changing, setChanging] = useState<number | null>(null);
  const removal = useSubmit();
  const remove = (id: number) => removal.run(() => del(paths.provider(id)).then(reload));
  return (
    <SetupMain
      title="Providers"
      lead="Who hands the feed over. Many sites share one provider’s feed, so the same change at many of them is one event."
    >
      {error && <Failure error={error} onRetry={reload} />}
      {removal.error && <Failure error={removal.error} />}
      {!data && !error && <Waiting what="the providers" />}
      <section class="panel" aria-labelledby="new-provider">
        <h2 id="new-provider">Add a provider</h2>
        <ProviderForm
          does="Add"
          onSend={async (provider) => {
            await post(paths.providers, provider);
            reload();
          }}
        />
      </section>
      <ul class="rows">
        {data?.providers.map((provider) => (
          <li key={provider.providerId}>
            {changing === provider.providerId ? (
              <ProviderForm
                initial={provider}
                does="Save"
                onSend={async (changed) => {
                  await patch(paths.provider(provider.providerId), changed);
                  setChanging(null);
                  reload();
                }}
              />
            ) : (
              <>
                <strong>{provider.name}</strong>
                <span>{provider.contact || <span class="quiet">no contact noted</span>}</span>
                <span class="quiet">{plural(provider.sites, 'site')}</span>
                <span class="actions">
                  <button
                    type="button"
                    class="small"
                    aria-label={`Change ${provider.name}`}
                    onClick={() => setChanging(provider.providerId)}
                  >
                    Change
                  </button>
                  {provider.sites === 0 && (
                    <ConfirmButton
                      does="Remove"
                      question={`Remove ${provider.name}?`}
                      onConfirm={() => remove(provider.providerId)}
                    />
                  )}
                </span>
              </>
            )}
          </li>
        ))}
      </ul>
    </SetupMain>
  );
}

interface ProviderFormProps {
  initial?: Pick<Provider, 'name' | 'contact'>;
  does: string;
  onSend: (provider: { name: string; contact: string }) => Promise<void>;
}

function ProviderForm({ initial, does, onSend }: ProviderFormProps) {
  const [name, setName] = useState(initial?.name ?? '');
  const [contact, setContact] = useState(initial?.contact ?? '');
  const { run, busy, error, fields } = useSubmit();
  const submit = async (event: Event) => {
    event.preventDefault();
    const through = await run(() => onSend({ name, contact }));
    if (!through || initial) return;
    setName('');
    setContact('');
  };
  return (
    <form class="form" onSubmit={submit}>
      <div class="form-grid">
        <TextField label="Name" required value={name} onValue={setName} error={fields['name']} />
        <TextField
          label="How to reach them about a handoff"
          value={contact}
          onValue={setContact}
          error={fields['contact']}
        />
      </div>
      {error && <Failure error={error} />}
      <div class="actions">
        <button type="submit" class="primary" disabled={busy}>
          {does}
        </button>
      </div>
    </form>
  );
}
