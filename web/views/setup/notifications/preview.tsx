import { useEffect, useState } from 'preact/hooks';
import type { Preview as PreviewView } from '../../../../api/schemas/notify.ts';
import { post } from '../../../client.ts';
import { formatDay, formatMoment, plural } from '../../../format.ts';
import { Failure, Waiting } from '../../../parts/notice.tsx';
import { SeverityMark } from '../../../parts/severityMark.tsx';
import { paths } from '../../../paths.ts';
import { useSettled } from '../../../useSettled.ts';
import { ownZone } from '../../../zonedTime.ts';
import { type RuleDraft, ruleOf } from './ruleDraft.ts';

/** Two a day; common practice, no source. */
const MANY = 60;
const WHAT_WORD = { open: 'open', worse: 'got worse', returned: 'back to normal' } as const;

/** What the rule would have sent over the last 30 days, asked again whenever the form stands still. */
export function Preview({ draft }: { draft: RuleDraft }) {
  const asked = useSettled(
    JSON.stringify({ ...ruleOf(draft), name: draft.name || 'new', enabled: undefined }),
    600,
  );
  const [preview, setPreview] = useState<PreviewView | null>(null);
  const [error, setError] = useState<Error | null>(null);
  const whole = draft.steps.every(({ targetIds }) => targetIds.length > 0);

  useEffect(() => {
    if (!whole) return;
    let stale = false;
    post<PreviewView>(paths.notifyPreview, { rule: JSON.parse(asked), timeZone: ownZone() }).then(
      (answer) => {
        if (stale) return;
        setPreview(answer);
        setError(null);
      },
      (failure: Error) => !stale && setError(failure),
    );
    return () => {
      stale = true;
    };
  }, [asked, whole]);

  return (
    <section class="preview" aria-label="What this rule would have sent">
      <h3>Over the last 30 days it would have sent</h3>
      {!whole && <p class="quiet">Choose whom to tell, and this shows what they would have got.</p>}
      {whole && error && <Failure error={error} />}
      {whole && !error && !preview && <Waiting what="the last 30 days" />}
      {whole && !error && preview && <PreviewBody preview={preview} />}
    </section>
  );
}

function PreviewBody({ preview }: { preview: PreviewView }) {
  const zone = ownZone();
  const most = Math.max(1, ...preview.days.map(({ messages }) => messages));
  return (
    <>
      <p>
        <strong>{preview.messages === 0 ? 'No message' : plural(preview.messages, 'message')}</strong>
        {preview.messages > 0 &&
          `: ${preview.targets.map(({ name, messages }) => `${messages} to ${name}`).join(', ')}`}
        .{preview.messages > MANY && ' That is more than two a day: people stop reading such messages.'}
      </p>
      {preview.messages > 0 && (
        <>
          <div class="day-bars" role="img" aria-label={`Messages a day, at most ${most}`}>
            {preview.days.map(({ date, messages }) => (
              <span key={date} title={`${date}: ${plural(messages, 'message')}`}>
                <i style={{ height: `${(100 * messages) / most}%` }} />
              </span>
            ))}
          </div>
          <p class="quiet day-ends">
            <span>{formatDay(preview.fromAt, zone)}</span>
            <span>most in a day: {most}</span>
            <span>today</span>
          </p>
          <h4>{preview.messages > preview.latest.length ? 'The latest of them' : 'All of them'}</h4>
          <ul class="rows">
            {preview.latest.map((message) => (
              <li key={`${message.at} ${message.target}`}>
                <span class="quiet">
                  {formatMoment(message.at, zone)} to {message.target}
                  {message.held && ', after quiet hours'}
                </span>
                {message.alerts.map((alert) => (
                  <span key={`${alert.alertId} ${alert.what}`}>
                    <SeverityMark severity={alert.severity} /> {alert.title}, {alert.where}:{' '}
                    {alert.step > 0 ? 'not acknowledged' : WHAT_WORD[alert.what]}
                  </span>
                ))}
                {message.more > 0 && <span class="quiet">and {message.more} more in the same message</span>}
              </li>
            ))}
          </ul>
        </>
      )}
      <p class="quiet">
        Worked out of the alerts’ history by the very steps that send messages. How many days were left is
        taken as it is now.
      </p>
    </>
  );
}
