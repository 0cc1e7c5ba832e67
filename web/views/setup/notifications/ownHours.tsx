import { useState } from 'preact/hooks';
import type { MyReach, Reach } from '../../../../api/schemas/notify.ts';
import { put } from '../../../client.ts';
import { Failure, Waiting } from '../../../parts/notice.tsx';
import { paths } from '../../../paths.ts';
import { useLoad } from '../../../useLoad.ts';
import { useSubmit } from '../../../useSubmit.ts';
import { ownZone } from '../../../zonedTime.ts';
import { usualReach } from './reachDraft.ts';
import { ReachFields } from './reachFields.tsx';

/** When the person who looks wants to be told. */
export function OwnHours() {
  const { data, error, reload } = useLoad<MyReach>(paths.myNotifications);
  return (
    <section class="panel spaced" aria-labelledby="own-hours">
      <h2 id="own-hours">When messages reach you</h2>
      {error && <Failure error={error} onRetry={reload} />}
      {!data && !error && <Waiting what="your hours" />}
      {data && (
        <>
          <p class="quiet">
            {data.rules.length === 0
              ? `No rule tells you of alerts yet. Messages would go to ${data.address}.`
              : `Told by ${data.rules.map((name) => `“${name}”`).join(', ')}, at ${data.address}.`}
            {data.reach === null && ' Nothing is saved yet: these are the usual hours.'}
          </p>
          <OwnForm initial={data.reach ?? usualReach(ownZone())} onSaved={reload} />
        </>
      )}
    </section>
  );
}

function OwnForm({ initial, onSaved }: { initial: Reach; onSaved: () => void }) {
  const [reach, setReach] = useState(initial);
  const [saved, setSaved] = useState(false);
  const { run, busy, error, fields } = useSubmit();
  const submit = async (event: Event) => {
    event.preventDefault();
    setSaved(await run(() => put(paths.myNotifications, reach).then(onSaved)));
  };
  const change = (changed: Reach) => {
    setSaved(false);
    setReach(changed);
  };
  return (
    <form class="form" onSubmit={submit}>
      <ReachFields reach={reach} onReach={change} fields={fields} />
      {error && <Failure error={error} />}
      <div class="actions">
        <button type="submit" class="primary" disabled={busy}>
          Save my hours
        </button>
        <span role="status">{saved && 'Saved.'}</span>
      </div>
    </form>
  );
}
