import type { Route } from '../../router.ts';
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
import { SetupNav } from './setupNav.tsx';
import { SiteListView } from './sites/siteListView.tsx';
import { SiteSetupView } from './sites/siteSetupView.tsx';

/** The set-up pages, with the way from one to another beside them. */
export function SetupView({ route }: { route: Route }) {
  return (
    <div class="page setup">
      <SetupNav view={route.view} />
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
