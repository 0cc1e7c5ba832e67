import { useState } from 'preact/hooks';
import type { z } from 'zod';
import type { Role } from '../../../../api/accounts/actor.ts';
import type { HandedLink, InvitationsSchema } from '../../../../api/schemas/accounts.ts';
import { del, post } from '../../../client.ts';
import { formatMoment } from '../../../format.ts';
import { ConfirmButton } from '../../../parts/confirmButton.tsx';
import { ChoiceField, TextField } from '../../../parts/field.tsx';
import { Failure } from '../../../parts/notice.tsx';
import { SecretOnce } from '../../../parts/secretOnce.tsx';
import { paths } from '../../../paths.ts';
import { useLoad } from '../../../useLoad.ts';
import { useSubmit } from '../../../useSubmit.ts';
import { ownZone } from '../../../zonedTime.ts';
import { ROLE_OPTIONS } from './roles.ts';

export function Invitations() {
  const { data, error, reload } = useLoad<z.infer<typeof InvitationsSchema>>(paths.invitations);
  const [email, setEmail] = useState('');
  const [role, setRole] = useState<Role>('technician');
  const [link, setLink] = useState<string | null>(null);
  const invite = useSubmit();
  const withdrawal = useSubmit();
  const submit = async (event: Event) => {
    event.preventDefault();
    await invite.run(async () => {
      setLink((await post<HandedLink>(paths.invitations, { email, role })).url);
      setEmail('');
      reload();
    });
  };
  const failure = error ?? invite.error ?? withdrawal.error;
  return (
    <section class="panel" aria-labelledby="invitations-title">
      <h2 id="invitations-title">Invite somebody</h2>
      {failure && <Failure error={failure} />}
      {link !== null ? (
        <SecretOnce what="The invitation’s link" secret={link} onDone={() => setLink(null)} />
      ) : (
        <form class="form" onSubmit={submit}>
          <div class="form-grid">
            <TextField
              label="E-mail"
              type="email"
              required
              value={email}
              onValue={setEmail}
              error={invite.fields['email']}
            />
            <ChoiceField
              label="Role"
              options={ROLE_OPTIONS}
              value={role}
              onValue={(value) => setRole(value as Role)}
              error={invite.fields['role']}
            />
          </div>
          <div class="actions">
            <button type="submit" class="primary" disabled={invite.busy}>
              Make a link
            </button>
            <span class="quiet">You hand the link over; it works once.</span>
          </div>
        </form>
      )}
      <ul class="rows">
        {data?.invitations.map((invitation) => (
          <li key={invitation.linkId}>
            <span>
              <strong>{invitation.email}</strong>, {invitation.role}
            </span>
            <span class="quiet">
              invited by {invitation.createdBy}, open until {formatMoment(invitation.expiresAt, ownZone())}
            </span>
            <ConfirmButton
              does="Withdraw"
              question="The link stops working."
              onConfirm={() => withdrawal.run(() => del(paths.invitation(invitation.linkId)).then(reload))}
            />
          </li>
        ))}
      </ul>
    </section>
  );
}
