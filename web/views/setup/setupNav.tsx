import { Link } from '../../parts/link.tsx';
import type { Route } from '../../router.ts';
import { useMay } from '../../session.ts';

interface Entry {
  readonly href: string;
  readonly text: string;
  /** The views that are part of it. */
  readonly views: readonly Route['view'][];
  readonly role?: 'manager' | 'administrator';
}

const GROUPS: readonly { readonly title: string; readonly entries: readonly Entry[] }[] = [
  {
    title: 'Plant',
    entries: [
      {
        href: '/setup',
        text: 'Sites',
        views: ['setup', 'setup-site', 'setup-guide', 'setup-import', 'setup-baseline'],
      },
      { href: '/setup/plans', text: 'Channel plans', views: ['setup-plans', 'setup-plan'] },
      { href: '/setup/limits', text: 'Limit sets', views: ['setup-limits'] },
      { href: '/setup/providers', text: 'Providers', views: ['setup-providers'] },
    ],
  },
  {
    title: 'Alerts',
    entries: [
      { href: '/setup/notifications', text: 'Notifications', views: ['setup-notifications'] },
      { href: '/setup/maintenance', text: 'Maintenance', views: ['setup-maintenance'] },
    ],
  },
  {
    title: 'People',
    entries: [
      { href: '/setup/accounts', text: 'Accounts', views: ['setup-accounts'], role: 'administrator' },
      { href: '/setup/audit', text: 'Audit', views: ['setup-audit'], role: 'manager' },
    ],
  },
];

/** The way from one set-up page to another, as far as one's role goes. */
export function SetupNav({ view }: { view: Route['view'] }) {
  const may = { manager: useMay('manager'), administrator: useMay('administrator') };
  return (
    <nav class="setup-nav no-print" aria-label="Set-up">
      {GROUPS.map(({ title, entries }) => {
        const open = entries.filter(({ role }) => role === undefined || may[role]);
        if (open.length === 0) return null;
        return (
          <div key={title}>
            <p>{title}</p>
            <ul aria-label={title}>
              {open.map(({ href, text, views }) => (
                <li key={href}>
                  <Link href={href} current={views.includes(view)}>
                    {text}
                  </Link>
                </li>
              ))}
            </ul>
          </div>
        );
      })}
    </nav>
  );
}
