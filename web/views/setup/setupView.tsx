import { Link } from '../../parts/link.tsx';
import type { Route } from '../../router.ts';
import { useMay } from '../../session.ts';
import { UnknownView } from '../unknownView.tsx';
import { AccountsView } from './accounts/accountsView.tsx';
import { AuditView } from './audit/auditView.tsx';
import { BaselineView } from './baseline/baselineView.tsx';
import { LimitsView } from './limits/limitsView.tsx';
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
        <Link href="/setup" current={at('setup', 'setup-site', 'setup-baseline')}>
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
    case 'setup-audit':
      return <AuditView />;
    case 'setup-accounts':
      return <AccountsView />;
    default:
      return <UnknownView />;
  }
}
