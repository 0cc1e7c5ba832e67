import type {
  AlertChangeView,
  AlertStateWord,
  OneAlertView,
  SeverityWord,
} from '../../../api/schemas/alerts.ts';
import { formatMoment } from '../../format.ts';
import { ALERT_CHANGE_WORD, ALERT_STATE_WORD, SEVERITY_WORD } from '../../words.ts';

/** All that was done to an alert, newest first: when, what, by whom, why. */
export function AlertChanges({ alert }: { alert: OneAlertView }) {
  return (
    <section class="panel" aria-labelledby="alert-changes">
      <h2 id="alert-changes">Record</h2>
      <ol class="rows alert-changes" reversed>
        {alert.changes.toReversed().map((change) => (
          <li key={change.changeId}>
            <span class="quiet">{formatMoment(change.at, alert.timeZone)}</span>
            <span>
              <strong>{ALERT_CHANGE_WORD[change.kind]}</strong> by {change.by}
              {becameWords(change)}
            </span>
            {change.why && <span>{change.why}</span>}
          </li>
        ))}
      </ol>
    </section>
  );
}

/** ": from minor to major", ": now active, unacknowledged". */
function becameWords({ kind, before, after }: AlertChangeView): string {
  if (kind === 'severity') {
    const [from, to] = [before?.['severity'], after?.['severity']].map(
      (severity) => SEVERITY_WORD[severity as SeverityWord]?.toLowerCase() ?? '?',
    );
    return `: from ${from} to ${to}`;
  }
  const state = ALERT_STATE_WORD[after?.['state'] as AlertStateWord];
  return state === undefined ? '' : `: now ${state.toLowerCase()}`;
}
