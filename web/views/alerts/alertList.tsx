import type { AlertView } from '../../../api/schemas/alerts.ts';
import { formatAgo, formatOutletDays, formatShortDay, plural, zoneName } from '../../format.ts';
import { Link } from '../../parts/link.tsx';
import { SeverityMark } from '../../parts/severityMark.tsx';
import { ALERT_STATE_WORD, SIDE_WORD } from '../../words.ts';
import { leftOf, placeOf, stateDetail } from './alertWords.ts';

interface AlertListProps {
  alerts: readonly AlertView[];
  chosen: ReadonlySet<number>;
  /** Null for a reader who may not act on alerts. */
  onChoose: ((alertId: number, isChosen: boolean) => void) | null;
}

/** Alerts in a line each: what, where, since when, how long is left, what to do first. */
export function AlertList({ alerts, chosen, onChoose }: AlertListProps) {
  return (
    <div class={`alert-table ${onChoose ? 'may-choose' : ''}`}>
      <div class="alert-row alert-headings" aria-hidden="true">
        {onChoose && <span />}
        <span>Severity</span>
        <span>What and where</span>
        <span>Since</span>
        <span>Left until a limit</span>
        <span class="is-figure">Outlet-days at risk, 14 days</span>
        <span>Do first</span>
      </div>
      <ul class="alert-list" onKeyDown={moveAlong} aria-label="Alerts, those that cost most first">
        {alerts.map((alert, index) => (
          <AlertLine
            key={alert.alertId}
            alert={alert}
            index={index}
            isChosen={chosen.has(alert.alertId)}
            onChoose={onChoose}
          />
        ))}
      </ul>
      <p class="quiet alert-keys no-print">
        Keys: <kbd>j</kbd> and <kbd>k</kbd> walk along the list
        {onChoose && (
          <>
            , <kbd>x</kbd> chooses
          </>
        )}
        , Enter opens.
      </p>
    </div>
  );
}

interface AlertLineProps extends Pick<AlertListProps, 'onChoose'> {
  alert: AlertView;
  index: number;
  isChosen: boolean;
}

function AlertLine({ alert, index, isChosen, onChoose }: AlertLineProps) {
  const { alertId, state, timeZone, onsetAt } = alert;
  const detail = stateDetail(alert);
  return (
    <li class={`alert-row is-${state}`} data-index={index}>
      {onChoose && (
        <span class="alert-choose">
          <input
            type="checkbox"
            aria-label={`Choose: ${alert.title}`}
            checked={isChosen}
            onChange={(event) => onChoose(alertId, event.currentTarget.checked)}
          />
        </span>
      )}
      <span class="alert-grade">
        <SeverityMark severity={alert.severity} />
        <span class="alert-state">
          {ALERT_STATE_WORD[state]}
          {detail && ` ${detail}`}
        </span>
      </span>
      <span class="alert-what">
        <Link href={`/alerts/${alertId}`} class="alert-link">
          {alert.title}
        </Link>
        <span class="quiet">
          {placeOf(alert)}; {plural(alert.outlets, 'outlet')}
          {alert.side !== null && `; side: ${SIDE_WORD[alert.side].toLowerCase()}`}
        </span>
      </span>
      <span class="alert-figures">
        <span class="alert-since">
          <span class="alert-label">Since </span>
          <time dateTime={onsetAt}>
            {formatShortDay(onsetAt, timeZone)} {zoneName(onsetAt, timeZone)}
          </time>{' '}
          <span class="quiet">{formatAgo(onsetAt, Date.now())}</span>
        </span>
        <span class={`alert-left ${alert.limitDays !== null && alert.limitDays.p50 <= 0 ? 'abnormal' : ''}`}>
          <span class="alert-label">Left until a limit: </span>
          {leftOf(alert)}
        </span>
        <span class="alert-risk">
          {formatOutletDays(alert.priority)}
          <span class="alert-label"> outlet-days at risk</span>
        </span>
      </span>
      <span class="alert-first">
        <span class="alert-label">Do first: </span>
        {alert.doFirst}
      </span>
    </li>
  );
}

const STEPS: Readonly<Record<string, number>> = { ArrowDown: 1, j: 1, ArrowUp: -1, k: -1 };

/** Arrow keys (or j and k) walk from alert to alert, x chooses the one at hand. */
function moveAlong(event: KeyboardEvent & { currentTarget: HTMLElement }): void {
  const here = (event.target as HTMLElement).closest<HTMLElement>('[data-index]');
  if (!here || event.ctrlKey || event.metaKey || event.altKey) return;
  const step = STEPS[event.key];
  const index = Number(here.dataset['index']) + (step ?? 0);
  const row = event.currentTarget.querySelector(`[data-index="${index}"]`);
  if (event.key === 'x') {
    event.preventDefault();
    row?.querySelector<HTMLElement>('input')?.click();
  }
  if (step === undefined || row === null) return;
  event.preventDefault();
  row.querySelector<HTMLElement>('a')?.focus();
}
