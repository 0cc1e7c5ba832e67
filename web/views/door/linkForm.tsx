import { useEffect, useState } from 'preact/hooks';
import type { AcceptLink, LinkView } from '../../../api/schemas/accounts.ts';
import { post } from '../../client.ts';
import { TextField } from '../../parts/field.tsx';
import { Failure, Waiting } from '../../parts/notice.tsx';
import { paths } from '../../paths.ts';
import { navigate } from '../../router.ts';
import { signIn } from '../../session.ts';
import { useSubmit } from '../../useSubmit.ts';

const PASSWORD_HINT = 'Twelve characters or more. A few words that only you would put together do well.';

interface LinkFormProps {
  link: LinkView;
  token: string;
  onSignedIn: () => void;
}

/** Makes the account that a one-time link offers, or sets the new password, then signs in. */
export function LinkForm({ link, token, onSignedIn }: LinkFormProps) {
  const [name, setName] = useState('');
  const [email, setEmail] = useState(link.email ?? '');
  const [password, setPassword] = useState('');
  const { run, busy, error, fields } = useSubmit();
  const newAccount = link.purpose !== 'password';
  const submit = async (event: Event) => {
    event.preventDefault();
    const body: AcceptLink = { token, password };
    if (newAccount) body.name = name;
    if (link.email === null) body.email = email;
    const through = await run(async () => {
      const accepted = await post<{ email: string }>(paths.acceptLink, body);
      await signIn(accepted.email, password);
    });
    if (!through) return;
    navigate('/sign-in', { replace: true });
    onSignedIn();
  };
  return (
    <form class="form" onSubmit={submit}>
      {link.email === null ? (
        <TextField
          label="E-mail"
          type="email"
          autocomplete="username"
          required
          value={email}
          onValue={setEmail}
          error={fields['email']}
          hint="You sign in with this address."
        />
      ) : (
        <p>
          For <strong>{link.email}</strong>
          {newAccount && `, as ${link.role}`}.
        </p>
      )}
      {newAccount && (
        <TextField
          label="Your name"
          autocomplete="name"
          required
          value={name}
          onValue={setName}
          error={fields['name']}
          hint="Stands beside what you sign, such as an accepted baseline."
        />
      )}
      <TextField
        label="Password"
        type="password"
        autocomplete="new-password"
        required
        value={password}
        onValue={setPassword}
        error={fields['password']}
        hint={PASSWORD_HINT}
      />
      {error && <Failure error={error} />}
      <button type="submit" class="primary" disabled={busy}>
        {newAccount ? 'Make the account' : 'Set the password'}
      </button>
    </form>
  );
}

/** Reads what the link in the address offers, and shows the form for it. */
export function FollowedLink({ onSignedIn }: { onSignedIn: () => void }) {
  const [token] = useState(() => location.hash.slice(1));
  const [link, setLink] = useState<LinkView | null>(null);
  const [error, setError] = useState<Error | null>(null);
  useEffect(() => {
    post<LinkView>(paths.readLink, { token }).then(setLink, setError);
  }, [token]);
  if (error) return <Failure error={error} />;
  return link ? <LinkForm link={link} token={token} onSignedIn={onSignedIn} /> : <Waiting what="the link" />;
}
