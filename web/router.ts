import { useEffect, useState } from 'preact/hooks';

/** What an address shows. */
export type Route =
  | { view: 'fleet' }
  | { view: 'site'; siteId: number; pointId: number | null }
  | { view: 'alerts' }
  | { view: 'alert'; alertId: number }
  | { view: 'probes' }
  | { view: 'probe'; siteId: number; probeId: number }
  | { view: 'type-readings'; siteId: number; pointId: number }
  | { view: 'live-readings'; siteId: number; pointId: number }
  | { view: 'setup' }
  | { view: 'setup-site'; siteId: number }
  | { view: 'setup-guide'; siteId: number | null }
  | { view: 'setup-import' }
  | { view: 'setup-plans' }
  | { view: 'setup-plan'; planId: number | null }
  | { view: 'setup-limits' }
  | { view: 'setup-providers' }
  | { view: 'setup-notifications' }
  | { view: 'setup-maintenance' }
  | { view: 'setup-accounts' }
  | { view: 'setup-audit' }
  | { view: 'setup-baseline'; siteId: number; pointId: number }
  | { view: 'complaints' }
  | { view: 'complaint-figures' }
  | { view: 'visits' }
  | { view: 'visit-day'; dayId: number }
  | { view: 'sign-in' }
  | { view: 'welcome' }
  | { view: 'invite' }
  | { view: 'unknown' };

type Match = (groups: readonly string[]) => Route;

const ROUTES: readonly (readonly [RegExp, Match])[] = [
  [/^\/$/, () => ({ view: 'fleet' })],
  [/^\/sites\/(\d+)$/, ([site]) => ({ view: 'site', siteId: Number(site), pointId: null })],
  [
    /^\/sites\/(\d+)\/points\/(\d+)$/,
    ([site, point]) => ({ view: 'site', siteId: Number(site), pointId: Number(point) }),
  ],
  [/^\/alerts$/, () => ({ view: 'alerts' })],
  [/^\/alerts\/(\d+)$/, ([alert]) => ({ view: 'alert', alertId: Number(alert) })],
  [/^\/probes$/, () => ({ view: 'probes' })],
  [
    /^\/sites\/(\d+)\/probes\/(\d+)$/,
    ([site, probe]) => ({ view: 'probe', siteId: Number(site), probeId: Number(probe) }),
  ],
  [
    /^\/sites\/(\d+)\/points\/(\d+)\/readings\/new$/,
    ([site, point]) => ({ view: 'type-readings', siteId: Number(site), pointId: Number(point) }),
  ],
  [
    /^\/sites\/(\d+)\/points\/(\d+)\/readings\/live$/,
    ([site, point]) => ({ view: 'live-readings', siteId: Number(site), pointId: Number(point) }),
  ],
  [/^\/setup$/, () => ({ view: 'setup' })],
  [/^\/setup\/new-site$/, () => ({ view: 'setup-guide', siteId: null })],
  [/^\/setup\/new-site\/(\d+)$/, ([site]) => ({ view: 'setup-guide', siteId: Number(site) })],
  [/^\/setup\/import$/, () => ({ view: 'setup-import' })],
  [/^\/setup\/sites\/(\d+)$/, ([site]) => ({ view: 'setup-site', siteId: Number(site) })],
  [
    /^\/setup\/sites\/(\d+)\/points\/(\d+)\/baseline$/,
    ([site, point]) => ({ view: 'setup-baseline', siteId: Number(site), pointId: Number(point) }),
  ],
  [/^\/setup\/plans$/, () => ({ view: 'setup-plans' })],
  [/^\/setup\/plans\/new$/, () => ({ view: 'setup-plan', planId: null })],
  [/^\/setup\/plans\/(\d+)$/, ([plan]) => ({ view: 'setup-plan', planId: Number(plan) })],
  [/^\/setup\/limits$/, () => ({ view: 'setup-limits' })],
  [/^\/setup\/providers$/, () => ({ view: 'setup-providers' })],
  [/^\/setup\/notifications$/, () => ({ view: 'setup-notifications' })],
  [/^\/setup\/maintenance$/, () => ({ view: 'setup-maintenance' })],
  [/^\/setup\/audit$/, () => ({ view: 'setup-audit' })],
  [/^\/setup\/accounts$/, () => ({ view: 'setup-accounts' })],
  [/^\/complaints$/, () => ({ view: 'complaints' })],
  [/^\/complaints\/figures$/, () => ({ view: 'complaint-figures' })],
  [/^\/visits$/, () => ({ view: 'visits' })],
  [/^\/visits\/(\d+)$/, ([day]) => ({ view: 'visit-day', dayId: Number(day) })],
  [/^\/sign-in$/, () => ({ view: 'sign-in' })],
  [/^\/welcome$/, () => ({ view: 'welcome' })],
  [/^\/invite$/, () => ({ view: 'invite' })],
];

/** The route that `path` (no query) names. */
export function matchRoute(path: string): Route {
  for (const [pattern, route] of ROUTES) {
    const match = pattern.exec(path);
    if (match) return route(match.slice(1));
  }
  return { view: 'unknown' };
}

const moves = new EventTarget();

/** Go to `href` without loading the page again. `replace` leaves no step to come back to. */
export function navigate(href: string, options: { replace?: boolean } = {}): void {
  if (options.replace) history.replaceState(null, '', href);
  else history.pushState(null, '', href);
  moves.dispatchEvent(new Event('move'));
}

/** The address as it stands; the component renders again when it changes. */
export function useAddress(): URL {
  const [href, setHref] = useState(location.href);
  useEffect(() => {
    const update = () => setHref(location.href);
    moves.addEventListener('move', update);
    addEventListener('popstate', update);
    return () => {
      moves.removeEventListener('move', update);
      removeEventListener('popstate', update);
    };
  }, []);
  return new URL(href);
}
