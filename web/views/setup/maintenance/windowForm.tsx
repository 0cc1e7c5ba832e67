import { useState } from 'preact/hooks';
import type { z } from 'zod';
import type { MaintenanceWindow, NewWindow } from '../../../../api/schemas/maintenance.ts';
import type { ProvidersSchema } from '../../../../api/schemas/providers.ts';
import type { SiteList, SiteSetupView } from '../../../../api/schemas/siteSetup.ts';
import { withQuery } from '../../../client.ts';
import { zoneName } from '../../../format.ts';
import { ChoiceField, TextField } from '../../../parts/field.tsx';
import { Failure } from '../../../parts/notice.tsx';
import { paths } from '../../../paths.ts';
import { useLoad } from '../../../useLoad.ts';
import { useSubmit } from '../../../useSubmit.ts';
import { ownZone, toInstant, toLocal } from '../../../zonedTime.ts';

const HOUR_MS = 3_600_000;

interface WindowFormProps {
  /** A window to change; where it holds stays. */
  initial?: MaintenanceWindow;
  does: string;
  onSend: (window: NewWindow) => Promise<void>;
  onCancel?: () => void;
}

/** Where, from when to when, why, and what the work does to the signal. */
export function WindowForm({ initial, does, onSend, onCancel }: WindowFormProps) {
  const nextHour = new Date(Math.ceil(Date.now() / HOUR_MS) * HOUR_MS).toISOString();
  const [scope, setScope] = useState<NewWindow['scope']>(initial?.scope ?? 'site');
  const [scopeId, setScopeId] = useState(initial?.scopeId ? String(initial.scopeId) : '');
  const chosen = useLoad<SiteSetupView>(
    !initial && scope === 'site' && scopeId !== '' ? paths.siteSetup(Number(scopeId)) : null,
  );
  const siteZone = initial?.timeZone ?? (scope === 'site' ? (chosen.data?.site.timeZone ?? null) : null);
  const zone = siteZone ?? ownZone();
  const [from, setFrom] = useState(toLocal(initial?.fromAt ?? nextHour, zone));
  const [to, setTo] = useState(
    toLocal(initial?.toAt ?? new Date(Date.parse(nextHour) + 4 * HOUR_MS).toISOString(), zone),
  );
  const [reason, setReason] = useState(initial?.reason ?? '');
  const [effect, setEffect] = useState(initial?.effect ?? '');
  const { run, busy, error, fields } = useSubmit();

  const submit = async (event: Event) => {
    event.preventDefault();
    const sent = await run(() =>
      onSend({
        scope,
        scopeId: scope === 'fleet' || scopeId === '' ? null : Number(scopeId),
        fromAt: toInstant(from, zone) ?? '',
        toAt: toInstant(to, zone) ?? '',
        reason,
        effect,
      }),
    );
    if (!sent || initial) return;
    setReason('');
    setEffect('');
  };

  const zoneWords = `${zoneName(nextHour, zone)}, ${siteZone === null ? 'your own zone' : 'the site’s zone'} (${zone.replaceAll('_', ' ')}).`;
  return (
    <form class="form" onSubmit={submit}>
      <div class="form-grid">
        {!initial && (
          <>
            <ChoiceField
              label="Where"
              value={scope}
              onValue={(value) => {
                setScope(value as NewWindow['scope']);
                setScopeId('');
              }}
              options={[
                ['site', 'One site'],
                ['provider', 'All sites of a provider'],
                ['fleet', 'The whole fleet'],
              ]}
            />
            {scope === 'site' && (
              <SiteChoice value={scopeId} onValue={setScopeId} error={fields['scopeId']} />
            )}
            {scope === 'provider' && (
              <ProviderChoice value={scopeId} onValue={setScopeId} error={fields['scopeId']} />
            )}
          </>
        )}
        <TextField
          label="From"
          type="datetime-local"
          required
          value={from}
          onValue={setFrom}
          hint={zoneWords}
          error={fields['fromAt']}
        />
        <TextField
          label="To"
          type="datetime-local"
          required
          value={to}
          onValue={setTo}
          hint="31 days after the start at most."
          error={fields['toAt']}
        />
        <TextField
          label="Reason"
          required
          value={reason}
          onValue={setReason}
          hint="Such as “riser amplifier is replaced”."
          error={fields['reason']}
        />
        <TextField
          label="Effect"
          required
          value={effect}
          onValue={setEffect}
          hint="What it does to the signal, such as “no signal on floors 3 to 9”."
          error={fields['effect']}
        />
      </div>
      {error && <Failure error={error} />}
      <div class="actions">
        <button type="submit" class="primary" disabled={busy}>
          {does}
        </button>
        {onCancel && (
          <button type="button" onClick={onCancel}>
            Leave it
          </button>
        )}
      </div>
    </form>
  );
}

interface ChoiceProps {
  value: string;
  onValue: (value: string) => void;
  error: string | undefined;
}

const MOST_SITES = 500;

function SiteChoice(props: ChoiceProps) {
  const { data } = useLoad<SiteList>(withQuery(paths.sites, { limit: MOST_SITES }));
  const sites = (data?.sites ?? []).map(({ siteId, name, town }): [string, string] => [
    String(siteId),
    town ? `${name}, ${town}` : name,
  ]);
  return <ChoiceField label="Site" options={[['', 'Choose a site'], ...sites]} {...props} />;
}

function ProviderChoice(props: ChoiceProps) {
  const { data } = useLoad<z.infer<typeof ProvidersSchema>>(paths.providers);
  const providers = (data?.providers ?? []).map(({ providerId, name }): [string, string] => [
    String(providerId),
    name,
  ]);
  return <ChoiceField label="Provider" options={[['', 'Choose a provider'], ...providers]} {...props} />;
}
