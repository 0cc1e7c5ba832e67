import { useState } from 'preact/hooks';
import type { NotifyView, TargetView, Tried } from '../../../../api/schemas/notify.ts';
import { del, post } from '../../../client.ts';
import { plural } from '../../../format.ts';
import { ConfirmButton } from '../../../parts/confirmButton.tsx';
import { Failure } from '../../../parts/notice.tsx';
import { SecretOnce } from '../../../parts/secretOnce.tsx';
import { paths } from '../../../paths.ts';
import { useSubmit } from '../../../useSubmit.ts';
import { reachWords } from './reachDraft.ts';
import { TargetForm } from './targetForm.tsx';
import { targetPlace, targetTitle } from './targetWords.ts';
import { TriedWords } from './triedWords.tsx';

/** Whom rules can tell: people, shared mailboxes, webhooks. */
export function Targets({ view, onChanged }: { view: NotifyView; onChanged: () => void }) {
  const [changing, setChanging] = useState<number | 'new' | null>(null);
  const [secret, setSecret] = useState<string | null>(null);
  const done = (made: string | null) => {
    setSecret(made);
    setChanging(null);
    onChanged();
  };
  return (
    <section class="panel spaced" aria-labelledby="targets-title">
      <h2 id="targets-title">Who can be told</h2>
      <p class="quiet">
        People with an account here, mailboxes that several share, and programs that take webhooks. People can
        change their own hours.
      </p>
      {secret !== null && (
        <SecretOnce
          what="The webhook’s signing secret"
          kept="it is sealed here and nobody can read it"
          secret={secret}
          onDone={() => setSecret(null)}
        />
      )}
      <ul class="rows">
        {view.targets.map((target) => (
          <li key={target.targetId}>
            {changing === target.targetId ? (
              <TargetForm
                initial={target}
                people={view.people}
                onDone={done}
                onCancel={() => setChanging(null)}
              />
            ) : (
              <TargetLine
                target={target}
                onChange={() => setChanging(target.targetId)}
                onChanged={onChanged}
                onSecret={setSecret}
              />
            )}
          </li>
        ))}
      </ul>
      {changing === 'new' ? (
        <TargetForm people={view.people} onDone={done} onCancel={() => setChanging(null)} />
      ) : (
        <div class="actions">
          <button type="button" onClick={() => setChanging('new')}>
            Add a person, mailbox or webhook
          </button>
        </div>
      )}
    </section>
  );
}

interface TargetLineProps {
  target: TargetView;
  onChange: () => void;
  onChanged: () => void;
  onSecret: (secret: string) => void;
}

function TargetLine({ target, onChange, onChanged, onSecret }: TargetLineProps) {
  const { run, busy, error } = useSubmit();
  const [tried, setTried] = useState<Tried | null>(null);
  const path = paths.notifyTarget(target.targetId);
  const test = () =>
    run(async () => {
      setTried(null);
      setTried(await post<Tried>(`${path}/test`, {}));
      onChanged();
    });
  const renew = () =>
    run(async () => onSecret((await post<{ secret: string }>(`${path}/secret`, {})).secret));
  return (
    <>
      <span>
        <strong>{targetTitle(target)}</strong> <span class="quiet break">{targetPlace(target)}</span>
      </span>
      <span class="quiet">
        {target.reach ? `${reachWords(target.reach)}. ` : 'Told at once, at any hour. '}
        {target.rules === 0 ? 'No rule tells it yet.' : `Told by ${plural(target.rules, 'rule')}.`}
      </span>
      {error && <Failure error={error} />}
      {tried && <TriedWords tried={tried} />}
      <span class="actions">
        <button type="button" class="small" disabled={busy} onClick={test}>
          {busy ? 'Sending…' : 'Send a test'}
        </button>
        <button type="button" class="small" aria-label={`Change ${target.name}`} onClick={onChange}>
          Change
        </button>
        {target.kind === 'webhook' && (
          <ConfirmButton
            does="New secret"
            question="Messages signed from now on fail at a receiver that has the old one."
            onConfirm={renew}
          />
        )}
        {target.rules === 0 && (
          <ConfirmButton
            does="Remove"
            question={`Remove ${target.name}?`}
            onConfirm={() => run(() => del(path).then(onChanged))}
          />
        )}
      </span>
    </>
  );
}
