import { useState } from 'preact/hooks';
import { TextField } from '../../parts/field.tsx';
import { Failure } from '../../parts/notice.tsx';
import { signIn } from '../../session.ts';
import { useSubmit } from '../../useSubmit.ts';
import { DoorFrame } from './doorFrame.tsx';

export function SignInView({ onSignedIn }: { onSignedIn: () => void }) {
  const [email, setEmail] = useState('');
  const [password, setPassword] = useState('');
  const submission = useSubmit();
  const submit = async (event: Event) => {
    event.preventDefault();
    const through = await submission.run(() => signIn(email, password));
    if (through) onSignedIn();
  };
  return (
    <DoorFrame title="Sign in">
      <form class="form" onSubmit={submit}>
        <TextField
          label="E-mail"
          type="email"
          autocomplete="username"
          required
          value={email}
          onValue={setEmail}
        />
        <TextField
          label="Password"
          type="password"
          autocomplete="current-password"
          required
          value={password}
          onValue={setPassword}
        />
        {submission.error && <Failure error={submission.error} />}
        <button type="submit" class="primary" disabled={submission.busy}>
          Sign in
        </button>
        <p class="quiet">No account? An administrator can invite you.</p>
      </form>
    </DoorFrame>
  );
}
