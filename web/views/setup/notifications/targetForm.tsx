import { useState } from 'preact/hooks';
import type { AddedTarget, NewTarget, NotifyView, TargetView } from '../../../../api/schemas/notify.ts';
import { post, put } from '../../../client.ts';
import { ChoiceField, TextField } from '../../../parts/field.tsx';
import { Failure } from '../../../parts/notice.tsx';
import { paths } from '../../../paths.ts';
import { useSubmit } from '../../../useSubmit.ts';
import { ownZone } from '../../../zonedTime.ts';
import { usualReach } from './reachDraft.ts';
import { ReachFields } from './reachFields.tsx';

type Kind = NewTarget['kind'];

const KIND_OPTIONS: readonly (readonly [Kind, string])[] = [
  ['person', 'a person with an account here'],
  ['mailbox', 'a mailbox of its own'],
  ['webhook', 'a program, by webhook'],
];

interface TargetFormProps {
  initial?: TargetView;
  people: NotifyView['people'];
  /** The secret of a new webhook, to be shown once; else null. */
  onDone: (secret: string | null) => void;
  onCancel: () => void;
}

export function TargetForm({ initial, people, onDone, onCancel }: TargetFormProps) {
  const [kind, setKind] = useState<Kind>(initial?.kind ?? (people.length > 0 ? 'person' : 'mailbox'));
  const [personId, setPersonId] = useState(people[0]?.personId ?? '');
  const [name, setName] = useState(initial?.name ?? '');
  const [address, setAddress] = useState(initial?.address ?? '');
  const [url, setUrl] = useState(initial?.url ?? '');
  const [reach, setReach] = useState(initial?.reach ?? usualReach(ownZone()));
  const { run, busy, error, fields } = useSubmit();

  const submit = (event: Event) => {
    event.preventDefault();
    const target = {
      person: { kind, personId, reach },
      mailbox: { kind, name, address, reach },
      webhook: { kind, name, url },
    }[kind];
    run(async () => {
      if (initial) {
        await put(paths.notifyTarget(initial.targetId), target);
        onDone(null);
      } else onDone((await post<AddedTarget>(paths.notifyTargets, target)).secret);
    });
  };
  return (
    <form class="form boxed" onSubmit={submit}>
      <div class="form-grid">
        {!initial && (
          <ChoiceField
            label="Who or what"
            options={KIND_OPTIONS.filter(([option]) => option !== 'person' || people.length > 0)}
            value={kind}
            onValue={(value) => setKind(value as Kind)}
          />
        )}
        {kind === 'person' && !initial && (
          <ChoiceField
            label="Person"
            options={people.map((person) => [person.personId, `${person.name}, ${person.email}`] as const)}
            value={personId}
            onValue={setPersonId}
            error={fields['personId']}
          />
        )}
        {kind !== 'person' && (
          <TextField label="Name" required value={name} onValue={setName} error={fields['name']} />
        )}
        {kind === 'mailbox' && (
          <TextField
            label="E-mail address"
            type="email"
            required
            value={address}
            onValue={setAddress}
            error={fields['address']}
          />
        )}
        {kind === 'webhook' && (
          <TextField
            label="Address that takes the webhook"
            required
            hint="https://… on the public internet. Each message is signed; the secret is shown once."
            value={url}
            onValue={setUrl}
            error={fields['url']}
          />
        )}
      </div>
      {initial?.kind === 'person' && <h3>{initial.name}</h3>}
      {kind !== 'webhook' && <ReachFields reach={reach} onReach={setReach} prefix="reach." fields={fields} />}
      {error && <Failure error={error} />}
      <div class="actions">
        <button type="submit" class="primary" disabled={busy}>
          {initial ? 'Save' : 'Add'}
        </button>
        <button type="button" onClick={onCancel}>
          Cancel
        </button>
      </div>
    </form>
  );
}
