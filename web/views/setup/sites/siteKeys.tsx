import { useState } from 'preact/hooks';
import type { z } from 'zod';
import type { IssuedSiteKey, SiteKey, SiteKeysSchema } from '../../../../api/schemas/siteKeys.ts';
import { del, post } from '../../../client.ts';
import { formatAgo, formatDay } from '../../../format.ts';
import { ConfirmButton } from '../../../parts/confirmButton.tsx';
import { TextField } from '../../../parts/field.tsx';
import { Failure } from '../../../parts/notice.tsx';
import { SecretOnce } from '../../../parts/secretOnce.tsx';
import { paths } from '../../../paths.ts';
import { useLoad } from '../../../useLoad.ts';
import { useSubmit } from '../../../useSubmit.ts';

/** Keys with which boxes and meters send this site's sweeps. */
export function SiteKeys({
  siteId,
  timeZone,
  onChanged,
}: {
  siteId: number;
  timeZone: string;
  onChanged?: () => void;
}) {
  const { data, error, reload } = useLoad<z.infer<typeof SiteKeysSchema>>(paths.siteKeys(siteId));
  const [label, setLabel] = useState('');
  const [issued, setIssued] = useState<string | null>(null);
  const issuing = useSubmit();
  const revoking = useSubmit();
  const changed = () => {
    reload();
    onChanged?.();
  };
  const issue = async (event: Event) => {
    event.preventDefault();
    await issuing.run(async () => {
      setIssued((await post<IssuedSiteKey>(paths.siteKeys(siteId), { label })).key);
      setLabel('');
      changed();
    });
  };
  const failure = error ?? issuing.error ?? revoking.error;
  return (
    <section class="panel" aria-labelledby="keys-title">
      <h2 id="keys-title">Site keys</h2>
      <p class="quiet">
        What sends sweeps proves with a key that it speaks for this site. One key a sender, so that one can be
        revoked alone.
      </p>
      {failure && <Failure error={failure} />}
      <ul class="rows">
        {data?.keys.map((key) => (
          <KeyLine
            key={key.keyId}
            siteKey={key}
            timeZone={timeZone}
            onRevoke={() => revoking.run(() => del(paths.siteKey(siteId, key.keyId)).then(changed))}
          />
        ))}
      </ul>
      {data?.keys.length === 0 && <p>No key yet: nothing can send sweeps for this site.</p>}
      {issued !== null ? (
        <SecretOnce what="The site key" secret={issued} onDone={() => setIssued(null)} />
      ) : (
        <form class="form inline-form" onSubmit={issue}>
          <TextField
            label="What will hold the key"
            hint="Such as “box in the riser cupboard”."
            required
            value={label}
            onValue={setLabel}
            error={issuing.fields['label']}
          />
          <button type="submit" class="primary" disabled={issuing.busy}>
            Issue a key
          </button>
        </form>
      )}
    </section>
  );
}

function KeyLine({
  siteKey,
  timeZone,
  onRevoke,
}: {
  siteKey: SiteKey;
  timeZone: string;
  onRevoke: () => void;
}) {
  const { label, createdBy, createdAt, lastUsedAt, revokedAt } = siteKey;
  return (
    <li>
      <strong>{label}</strong>
      <span class="quiet">
        issued {formatDay(createdAt, timeZone)} by {createdBy};{' '}
        {lastUsedAt ? `last used ${formatAgo(lastUsedAt, Date.now())}` : 'never used'}
      </span>
      {revokedAt ? (
        <span>Revoked {formatDay(revokedAt, timeZone)}</span>
      ) : (
        <ConfirmButton
          does="Revoke"
          question="What holds it can no longer send sweeps."
          onConfirm={onRevoke}
        />
      )}
    </li>
  );
}
