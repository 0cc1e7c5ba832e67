import { useEffect } from 'preact/hooks';
import type { AlertPage } from '../../api/schemas/alerts.ts';
import { onAlertsChanged } from '../alertsChanged.ts';
import { formatCount } from '../format.ts';
import { paths } from '../paths.ts';
import { useLoad } from '../useLoad.ts';
import { Link } from './link.tsx';

const REFRESH_MS = 60_000;

/** The way to the alerts, with how many nobody has acknowledged. */
export function AlertsLink({ current }: { current: boolean }) {
  const { data, reload } = useLoad<AlertPage>(`${paths.alerts}?limit=1`, REFRESH_MS);
  useEffect(() => onAlertsChanged(reload), [reload]);
  const waiting = data?.unacknowledged ?? 0;
  return (
    <Link href="/alerts" current={current}>
      Alerts
      {waiting > 0 && (
        <span class="alerts-waiting">
          {formatCount(waiting)}
          <span class="sr-only"> unacknowledged</span>
        </span>
      )}
    </Link>
  );
}
