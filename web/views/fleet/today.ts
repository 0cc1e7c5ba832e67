import type { FleetPage, FleetRow } from '../../../api/schemas/fleet.ts';
import { plural } from '../../format.ts';

/** What the fleet page says first: one plain sentence, and the site to begin with if there is one. */
export interface Today {
  readonly sentence: string;
  readonly startWith: FleetRow | null;
}

/** `page` is the first page without filter or search. */
export function today(page: Pick<FleetPage, 'sites' | 'counts' | 'rows'>): Today {
  const act = page.counts.act ?? 0;
  const first = page.rows[0] ?? null;
  if (page.sites === 0) return { sentence: 'No site has been set up yet.', startWith: null };
  if (act > 0) {
    const verb = act === 1 ? 'needs' : 'need';
    return { sentence: `${act} of ${plural(page.sites, 'site')} ${verb} action.`, startWith: first };
  }
  const silent = page.counts.silent ?? 0;
  const watch = page.counts.watch ?? 0;
  if (page.sites === 1) return oneSite(silent, watch, first);
  const none = `None of ${plural(page.sites, 'site')} needs action`;
  if (silent + watch === 0) return { sentence: `${none}.`, startWith: null };
  const others = [silent > 0 && `${silent} silent`, watch > 0 && `${watch} to watch`].filter(Boolean);
  return { sentence: `${none}; ${others.join(', ')}.`, startWith: first };
}

function oneSite(silent: number, watch: number, site: FleetRow | null): Today {
  if (silent > 0) return { sentence: 'The one site is silent.', startWith: site };
  if (watch > 0) return { sentence: 'The one site is to watch.', startWith: site };
  return { sentence: 'The one site needs no action.', startWith: null };
}
