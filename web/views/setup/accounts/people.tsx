import { useState } from 'preact/hooks';
import type { z } from 'zod';
import type { Role } from '../../../../api/accounts/actor.ts';
import type { Account, AccountsSchema, ChangeAccount, HandedLink } from '../../../../api/schemas/accounts.ts';
import { del, patch, post } from '../../../client.ts';
import { formatAgo } from '../../../format.ts';
import { ConfirmButton } from '../../../parts/confirmButton.tsx';
import { Failure, Waiting } from '../../../parts/notice.tsx';
import { SecretOnce } from '../../../parts/secretOnce.tsx';
import { paths } from '../../../paths.ts';
import { useLoad } from '../../../useLoad.ts';
import { useSubmit } from '../../../useSubmit.ts';
import { ROLE_OPTIONS } from './roles.ts';

export function People() {
  const { data, error, reload } = useLoad<z.infer<typeof AccountsSchema>>(paths.accounts);
  const [link, setLink] = useState<string | null>(null);
  const change = useSubmit();
  const failure = error ?? change.error;
  return (
    <section class="panel" aria-labelledby="people-title">
      <h2 id="people-title">People</h2>
      {failure && <Failure error={failure} />}
      {!data && !error && <Waiting what="the accounts" />}
      {link !== null && (
        <SecretOnce what="The link to set a new password" secret={link} onDone={() => setLink(null)} />
      )}
      <ul class="rows">
        {data?.accounts.map((account) => (
          <PersonLine
            key={account.id}
            account={account}
            onChange={(changed) => change.run(() => patch(paths.account(account.id), changed).then(reload))}
            onRemove={() => change.run(() => del(paths.account(account.id)).then(reload))}
            onLink={() =>
              change.run(async () => setLink((await post<HandedLink>(paths.accountLink(account.id), {})).url))
            }
          />
        ))}
      </ul>
    </section>
  );
}

interface PersonLineProps {
  account: Account;
  onChange: (change: ChangeAccount) => void;
  onRemove: () => void;
  onLink: () => void;
}

function PersonLine({ account, onChange, onRemove, onLink }: PersonLineProps) {
  return (
    <li>
      <span>
        <strong>{account.name}</strong> <span class="quiet">{account.email}</span>
      </span>
      <span class="quiet">
        {account.disabled
          ? 'Disabled'
          : account.lastSeenAt
            ? `seen ${formatAgo(account.lastSeenAt, Date.now())}`
            : 'not seen yet'}
      </span>
      <span class="actions">
        <select
          aria-label={`Role of ${account.name}`}
          class="short-select"
          value={account.role}
          onChange={(event) => onChange({ role: event.currentTarget.value as Role })}
        >
          {ROLE_OPTIONS.map(([role]) => (
            <option key={role} value={role}>
              {role}
            </option>
          ))}
        </select>
        <button type="button" class="small" onClick={onLink} aria-label={`New password for ${account.name}`}>
          New password
        </button>
        <button
          type="button"
          class="small"
          aria-label={`${account.disabled ? 'Enable' : 'Disable'} ${account.name}`}
          onClick={() => onChange({ disabled: !account.disabled })}
        >
          {account.disabled ? 'Enable' : 'Disable'}
        </button>
        <ConfirmButton
          does="Remove"
          question={`Remove ${account.name}? What they signed keeps their name.`}
          onConfirm={onRemove}
        />
      </span>
    </li>
  );
}
