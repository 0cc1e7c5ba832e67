import { useContext } from 'preact/hooks';
import type { Route } from '../router.ts';
import { MeContext } from '../session.ts';
import { AlertsLink } from './alertsLink.tsx';
import { Link } from './link.tsx';

/** The name, the parts of the product, and who is signed in. */
export function TopBar({ route, onSignOut }: { route: Route; onSignOut: () => void }) {
  const me = useContext(MeContext);
  return (
    <header class="top no-print">
      <div class="top-inner">
        <Link href="/" class="brand" label="Levelkeep, fleet page">
          <svg viewBox="0 0 32 18" aria-hidden="true">
            <path d="M2 5H30" stroke-dasharray="3 3" />
            <path d="M2 13H11L15 16H30" />
          </svg>
          Levelkeep
        </Link>
        <nav aria-label="Main">
          <Link href="/" current={route.view === 'fleet' || route.view === 'site'}>
            Fleet
          </Link>
          <AlertsLink current={route.view === 'alerts' || route.view === 'alert'} />
          <Link href="/visits" current={route.view.startsWith('visit')}>
            Visits
          </Link>
          <Link href="/complaints" current={route.view.startsWith('complaint')}>
            Complaints
          </Link>
          <Link href="/probes" current={route.view === 'probes' || route.view === 'probe'}>
            Probes
          </Link>
          <Link href="/setup" current={route.view.startsWith('setup')}>
            Set-up
          </Link>
        </nav>
        <div class="top-account">
          <span class="top-name">
            {me?.name}, {me?.role}
          </span>
          <button type="button" class="small" onClick={onSignOut}>
            Sign out
          </button>
        </div>
      </div>
    </header>
  );
}
