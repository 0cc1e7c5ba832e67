import { Link } from '../../parts/link.tsx';
import type { Route } from '../../router.ts';
import { useMay } from '../../session.ts';
import { UnknownView } from '../unknownView.tsx';
import { AccountsView } from './accounts/accountsView.tsx';
import { AuditView } from './audit/auditView.tsx';
import { BaselineView } from './baseline/baselineView.tsx';
import { GuideView } from './guide/guideView.tsx';
import { ImportView } from './import/importView.tsx';
import { LimitsView } from './limits/limitsView.tsx';
import { MaintenanceView } from './maintenance/maintenanceView.tsx';
import { NotificationsView } from './notifications/notificationsView.tsx';
import { PlanListView } from './plans/planListView.tsx';
import { PlanView } from './plans/planView.tsx';
import { ProvidersView } from './providersView.tsx';
import { SiteListView } from './sites/siteListView.tsx';
import { SiteSetupView } from './sites/siteSetupView.tsx';

/** The set-up pages, with the way from one to another beside them. */
export function SetupView({ route }: { route: Route }) {
  const administrator = useMay('administrator');
  const manager = useMay('manager');
  const at = (...views: Route['view'][]) => views.includes(route.view);
  return (
    <div class="page setup">
      <nav class="setup-nav no-print" aria-label="Set-up">
        <Link
          href="/setup"
          current={at('setup', 'setup-site', 'setup-guide', 'setup-import', 'setup-baseline')}
        >
          Sites
        </Link>
        <Link href="/setup/plans" current={at('setup-plans', 'setup-plan')}>
          Channel plans
        </Link>
        <Link href="/setup/limits" current={at('setup-limits')}>
          Limit sets
        </Link>
        <Link href="/setup/providers" current={at('setup-providers')}>
          Providers
        </Link>
        <Link href="/setup/notifications" current={at('setup-notifications')}>
          Notifications
        </Link>
        <Link href="/setup/maintenance" current={at('setup-maintenance')}>
          Maintenance
        </Link>
        {administrator && (
          <Link href="/setup/accounts" current={at('setup-accounts')}>
            Accounts
          </Link>
        )}
        {manager && (
          <Link href="/setup/audit" current={at('setup-audit')}>
            Audit
          </Link>
        )}
      </nav>
      <SetupPage route={route} />
    </div>
  );
}

function SetupPage({ route }: { route: Route }) {
  switch (route.view) {
    case 'setup':
      return <SiteListView />;
    case 'setup-site':
      return <SiteSetupView key={route.siteId} siteId={route.siteId} />;
    case 'setup-guide':
      return <GuideView key={route.siteId} siteId={route.siteId} />;
    case 'setup-import':
      return <ImportView />;
    case 'setup-baseline':
      return <BaselineView key={route.pointId} siteId={route.siteId} pointId={route.pointId} />;
    case 'setup-plans':
      return <PlanListView />;
    case 'setup-plan':
      return <PlanView key={route.planId} planId={route.planId} />;
    case 'setup-limits':
      return <LimitsView />;
    case 'setup-providers':
      return <ProvidersView />;
    case 'setup-notifications':
      return <NotificationsView />;
    case 'setup-maintenance':
      return <MaintenanceView />;
    case 'setup-audit':
      return <AuditView />;
    case 'setup-accounts':
      return <AccountsView />;
    default:
      return <UnknownView />;
  }
}
