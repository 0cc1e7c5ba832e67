import { useEffect } from 'preact/hooks';
import type { AlertPage } from '../../../api/schemas/alerts.ts';
import { onAlertsChanged } from '../../alertsChanged.ts';
import { Link } from '../../parts/link.tsx';
import { SeverityMark } from '../../parts/severityMark.tsx';
import { paths } from '../../paths.ts';
import { useLoad } from '../../useLoad.ts';
import { ALERT_STATE_WORD } from '../../words.ts';
import { leftOf } from '../alerts/alertWords.ts';

const REFRESH_MS = 60_000;

/** The alerts that people are told of at this site, provider's events among them; nothing where there is none. */
export function SiteAlerts({ siteId }: { siteId: number }) {
  const { data, reload } = useLoad<AlertPage>(`${paths.alerts}?siteId=${siteId}`, REFRESH_MS);
  useEffect(() => onAlertsChanged(reload), [reload]);
  if (!data || data.rows.length === 0) return null;
  return (
    <section class="site-alerts" aria-label="Alerts at this site">
      <ul>
        {data.rows.map((alert) => (
          <li key={alert.alertId}>
            <SeverityMark severity={alert.severity} />
            <Link href={`/alerts/${alert.alertId}`}>{alert.title}</Link>
            <span class="quiet">
              {leftOf(alert) === 'no limit ahead' ? '' : `left until a limit: ${leftOf(alert)}; `}
              {ALERT_STATE_WORD[alert.state].toLowerCase()}
            </span>
          </li>
        ))}
      </ul>
    </section>
  );
}
