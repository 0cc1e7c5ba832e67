import { useEffect, useState } from 'preact/hooks';
import type { Deliveries, DeliveryView, Tried } from '../../../../api/schemas/notify.ts';
import { post, withQuery } from '../../../client.ts';
import { formatMoment, plural } from '../../../format.ts';
import { ChoiceField } from '../../../parts/field.tsx';
import { Failure, Waiting } from '../../../parts/notice.tsx';
import { paths } from '../../../paths.ts';
import { useLoad } from '../../../useLoad.ts';
import { useSubmit } from '../../../useSubmit.ts';
import { ownZone } from '../../../zonedTime.ts';
import { TriedWords } from './triedWords.tsx';

const STATE_WORD = {
  waiting: 'Waiting',
  sent: 'Sent',
  dead: 'Given up',
  dropped: 'Not needed',
} as const;
const KIND_WORD = { alerts: 'Alerts', daily: 'Daily digest', weekly: 'Weekly digest', test: 'Test' } as const;
const OUTCOME_WORD = { accepted: 'taken', 'try-again': 'not taken', refused: 'refused for good' } as const;
const LOOK_EVERY_MS = 20_000;

/** Messages with every attempt to hand them over; those given up can be sent again. */
export function Messages({ turn }: { turn: number }) {
  const [state, setState] = useState('');
  const [before, setBefore] = useState<number | null>(null);
  const path = withQuery(paths.deliveries, { state, before });
  const { data, error, reload } = useLoad<Deliveries>(path, LOOK_EVERY_MS);
  useEffect(() => {
    if (turn > 0) reload();
  }, [turn, reload]);
  const show = (value: string) => {
    setBefore(null);
    setState(value);
  };
  return (
    <section class="panel spaced" aria-labelledby="messages-title">
      <h2 id="messages-title">Messages</h2>
      <p class="quiet">
        Every message is tried for about 30 hours before it is given up. One that went out twice, after a
        crash, carries the same identifier both times.
      </p>
      {error && <Failure error={error} onRetry={reload} />}
      {!data && !error && <Waiting what="the messages" />}
      {data && (
        <>
          {data.dead > 0 && (
            <p class="abnormal">
              ◆ {data.dead === 1 ? '1 message was' : `${data.dead} messages were`} given up.
            </p>
          )}
          <div class="inline-form">
            <ChoiceField
              label="Show"
              options={[
                ['', 'all'],
                ['dead', 'given up'],
                ['waiting', 'waiting'],
                ['sent', 'sent'],
                ['dropped', 'not needed any more'],
              ]}
              value={state}
              onValue={show}
            />
          </div>
          {data.deliveries.length === 0 && (
            <p class="quiet">
              {state === '' ? 'No message has been sent yet.' : 'There is no such message.'}
            </p>
          )}
          <ul class="rows">
            {data.deliveries.map((delivery) => (
              <MessageLine key={delivery.deliveryId} delivery={delivery} onChanged={reload} />
            ))}
          </ul>
          <div class="actions">
            {before !== null && (
              <button type="button" class="small" onClick={() => setBefore(null)}>
                Back to the newest
              </button>
            )}
            {data.more && (
              <button
                type="button"
                class="small"
                onClick={() => setBefore(data.deliveries.at(-1)?.deliveryId ?? null)}
              >
                Older ones
              </button>
            )}
          </div>
        </>
      )}
    </section>
  );
}

function MessageLine({ delivery, onChanged }: { delivery: DeliveryView; onChanged: () => void }) {
  const zone = ownZone();
  const { run, busy, error } = useSubmit();
  const [tried, setTried] = useState<Tried | null>(null);
  const resend = () =>
    run(async () => {
      setTried(await post<Tried>(paths.resend(delivery.deliveryId), {}));
      onChanged();
    });
  return (
    <li>
      <span>
        <strong class={delivery.state === 'dead' ? 'abnormal' : ''}>
          {delivery.state === 'dead' && '◆ '}
          {STATE_WORD[delivery.state]}
        </strong>
        {': '}
        {delivery.summary ?? KIND_WORD[delivery.kind]}
      </span>
      <span class="quiet break">
        {KIND_WORD[delivery.kind]} to {delivery.sentTo}; {whenWords(delivery, zone)}
        {delivery.why && ` (${delivery.why})`}
      </span>
      {delivery.attempts.length > 0 && (
        <details>
          <summary>{plural(delivery.attempts.length, 'attempt')}</summary>
          <ol class="attempts">
            {delivery.attempts.map(({ attempt, startedAt, outcome, detail }) => (
              <li key={attempt} class="break">
                {formatMoment(startedAt, zone)}:{' '}
                {outcome === null ? 'no result on record' : OUTCOME_WORD[outcome]}
                {detail && `, ${detail}`}
              </li>
            ))}
          </ol>
        </details>
      )}
      {error && <Failure error={error} />}
      {tried && <TriedWords tried={tried} />}
      {delivery.state === 'dead' && (
        <span class="actions">
          <button type="button" class="small" disabled={busy} onClick={resend}>
            Send again
          </button>
        </span>
      )}
    </li>
  );
}

function whenWords({ state, sendAt, endedAt, held }: DeliveryView, zone: string): string {
  if (state === 'waiting')
    return `${held ? 'after quiet hours, ' : ''}next try ${formatMoment(sendAt, zone)}`;
  return formatMoment(endedAt ?? sendAt, zone);
}
