import type { ComponentChildren } from 'preact';
import { useEffect } from 'preact/hooks';
import type { OneAlertView } from '../../../api/schemas/alerts.ts';
import { onAlertsChanged } from '../../alertsChanged.ts';
import { formatDaysLeft, formatMoment, formatOutletDays, plural } from '../../format.ts';
import { Cautions } from '../../parts/cautions.tsx';
import { Link } from '../../parts/link.tsx';
import { Failure, Waiting } from '../../parts/notice.tsx';
import { SeverityMark } from '../../parts/severityMark.tsx';
import { paths } from '../../paths.ts';
import { useLoad } from '../../useLoad.ts';
import { useTitle } from '../../useTitle.ts';
import { ALERT_STATE_WORD, SIDE_WORD } from '../../words.ts';
import { AlertActions } from './alertActions.tsx';
import { AlertChanges } from './alertChanges.tsx';
import { AlertFindings } from './alertFindings.tsx';
import { AlertMembers } from './alertMembers.tsx';
import { leftOf, restOf, stateDetail } from './alertWords.ts';

const REFRESH_MS = 60_000;

/** One alert: what it tells of, what to do first, and all that was done to it. */
export function AlertView({ alertId }: { alertId: number }) {
  const { data: alert, error, reload } = useLoad<OneAlertView>(paths.alert(alertId), REFRESH_MS);
  useEffect(() => onAlertsChanged(reload), [reload]);
  useTitle(alert?.title ?? null);

  if (!alert) {
    return (
      <main class="page" id="main">
        <h1 tabIndex={-1}>Alert {alertId}</h1>
        {error ? <Failure error={error} onRetry={reload} /> : <Waiting what="the alert" />}
      </main>
    );
  }
  const detail = stateDetail(alert);
  const rest = restOf(alert);
  return (
    <main class="page alert" id="main">
      {error && <Failure error={error} onRetry={reload} />}
      <header class="site-header">
        <nav class="crumbs no-print" aria-label="You are here">
          <Link href="/alerts">Alerts</Link> <span aria-hidden="true">/</span> alert {alert.alertId}
        </nav>
        <p class="alert-standing">
          <SeverityMark severity={alert.severity} />
          <span>
            {ALERT_STATE_WORD[alert.state]}
            {detail && ` ${detail}`}
          </span>
        </p>
        <h1 tabIndex={-1}>{alert.title}</h1>
        {rest !== null && <p class="lead">{rest}</p>}
        <PartOf alert={alert} />
        <section class="check-first" aria-label="What to do first">
          <p>
            <strong>Do first:</strong> {alert.doFirst}
          </p>
          {alert.kind === 'site' && alert.side !== null && <Cautions side={alert.side} />}
        </section>
        <AlertActions alerts={[alert]} />
      </header>
      <AlertFacts alert={alert} />
      {alert.kind === 'provider-event' ? <AlertMembers alert={alert} /> : <AlertFindings alert={alert} />}
      <AlertChanges alert={alert} />
    </main>
  );
}

function PartOf({ alert: { partOf } }: { alert: OneAlertView }) {
  if (partOf === null) return null;
  return (
    <p>
      Part of <Link href={`/alerts/${partOf}`}>the provider’s event, alert {partOf}</Link>: told there, and by
      itself only if it outlasts it.
    </p>
  );
}

function AlertFacts({ alert }: { alert: OneAlertView }) {
  const { timeZone, limitDays } = alert;
  return (
    <dl class="facts">
      <Fact term="Where">
        {alert.siteId === null ? (
          `${plural(alert.sites, 'site')} of ${alert.provider ?? 'a provider no longer there'}`
        ) : (
          <>
            <Link href={`/sites/${alert.siteId}`}>{alert.siteName ?? `site ${alert.siteId}`}</Link>
            {alert.town && `, ${alert.town}`}
          </>
        )}
      </Fact>
      <Fact term="Since">{formatMoment(alert.onsetAt, timeZone)}</Fact>
      <Fact term="Left until a limit">
        {leftOf(alert)}
        {limitDays !== null && limitDays.p50 > 0 && (
          <span class="quiet">
            {' '}
            ({formatDaysLeft(limitDays.p10)} to {formatDaysLeft(limitDays.p90)})
          </span>
        )}
      </Fact>
      <Fact term="Outlets behind it">{plural(alert.outlets, 'outlet')}</Fact>
      <Fact term="At risk, 14 days">{formatOutletDays(alert.priority)} outlet-days</Fact>
      <Fact term="Whose side">{alert.side === null ? 'not told by silence' : SIDE_WORD[alert.side]}</Fact>
      <Fact term="Probable cause">{alert.cause ?? 'not known'}</Fact>
      <Fact term="Raised">{formatMoment(alert.raisedAt, timeZone)}</Fact>
      {alert.acknowledgedBy && alert.acknowledgedAt && (
        <Fact term="Acknowledged">
          {formatMoment(alert.acknowledgedAt, timeZone)}, {alert.acknowledgedBy}
        </Fact>
      )}
      {alert.shelvedUntil && <Fact term="Shelved until">{formatMoment(alert.shelvedUntil, timeZone)}</Fact>}
      {alert.returnedAt && <Fact term="Returned to normal">{formatMoment(alert.returnedAt, timeZone)}</Fact>}
    </dl>
  );
}

function Fact({ term, children }: { term: string; children: ComponentChildren }) {
  return (
    <div>
      <dt>{term}</dt>
      <dd>{children}</dd>
    </div>
  );
}
