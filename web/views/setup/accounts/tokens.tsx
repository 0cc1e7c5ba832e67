import { useState } from 'preact/hooks';
import type { z } from 'zod';
import type { Role } from '../../../../api/accounts/actor.ts';
import type { IssuedToken, TokensSchema } from '../../../../api/schemas/accounts.ts';
import { del, post } from '../../../client.ts';
import { formatAgo, formatDay } from '../../../format.ts';
import { ConfirmButton } from '../../../parts/confirmButton.tsx';
import { ChoiceField, TextField } from '../../../parts/field.tsx';
import { Failure } from '../../../parts/notice.tsx';
import { SecretOnce } from '../../../parts/secretOnce.tsx';
import { paths } from '../../../paths.ts';
import { useLoad } from '../../../useLoad.ts';
import { useSubmit } from '../../../useSubmit.ts';
import { ownZone, toInstant } from '../../../zonedTime.ts';
import { ROLE_OPTIONS } from './roles.ts';

export function Tokens() {
  const zone = ownZone();
  const { data, error, reload } = useLoad<z.infer<typeof TokensSchema>>(paths.tokens);
  const [label, setLabel] = useState('');
  const [role, setRole] = useState<Role>('viewer');
  const [until, setUntil] = useState('');
  const [token, setToken] = useState<string | null>(null);
  const issuing = useSubmit();
  const revoking = useSubmit();
  const submit = async (event: Event) => {
    event.preventDefault();
    const expiresAt = until === '' ? null : toInstant(`${until}T23:59`, zone);
    await issuing.run(async () => {
      setToken((await post<IssuedToken>(paths.tokens, { label, role, expiresAt })).token);
      setLabel('');
      reload();
    });
  };
  const failure = error ?? issuing.error ?? revoking.error;
  return (
    <section class="panel" aria-labelledby="tokens-title">
      <h2 id="tokens-title">Automation tokens</h2>
      <p class="quiet">
        For scripts that read or change things here. Boxes that send sweeps take a site key instead.
      </p>
      {failure && <Failure error={failure} />}
      <ul class="rows">
        {data?.tokens.map((held) => (
          <li key={held.tokenId}>
            <span>
              <strong>{held.label}</strong>, {held.role}
            </span>
            <span class="quiet">
              issued {formatDay(held.createdAt, zone)} by {held.createdBy};{' '}
              {held.lastUsedAt ? `last used ${formatAgo(held.lastUsedAt, Date.now())}` : 'never used'}
              {held.expiresAt && `; ends ${formatDay(held.expiresAt, zone)}`}
            </span>
            {held.revokedAt ? (
              <span>Revoked {formatDay(held.revokedAt, zone)}</span>
            ) : (
              <ConfirmButton
                does="Revoke"
                question="Scripts that use it stop working."
                onConfirm={() => revoking.run(() => del(paths.token(held.tokenId)).then(reload))}
              />
            )}
          </li>
        ))}
      </ul>
      {token !== null ? (
        <SecretOnce what="The token" secret={token} onDone={() => setToken(null)} />
      ) : (
        <form class="form" onSubmit={submit}>
          <div class="form-grid">
            <TextField
              label="What will use it"
              required
              value={label}
              onValue={setLabel}
              error={issuing.fields['label']}
            />
            <ChoiceField
              label="Role"
              options={ROLE_OPTIONS}
              value={role}
              onValue={(value) => setRole(value as Role)}
              error={issuing.fields['role']}
            />
            <TextField
              label="Ends after the day"
              type="date"
              hint="Empty: it doesn’t end by itself."
              value={until}
              onValue={setUntil}
              error={issuing.fields['expiresAt']}
            />
          </div>
          <div class="actions">
            <button type="submit" class="primary" disabled={issuing.busy}>
              Issue a token
            </button>
          </div>
        </form>
      )}
    </section>
  );
}
