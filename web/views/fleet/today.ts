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
  const others = [
    (page.counts.silent ?? 0) > 0 && `${page.counts.silent} silent`,
    (page.counts.watch ?? 0) > 0 && `${page.counts.watch} to watch`,
  ].filter((part) => part !== false);
  if (others.length === 0) {
    const none =
      page.sites === 1
        ? 'The one site needs no action'
        : `None of ${plural(page.sites, 'site')} needs action`;
    return { sentence: `${none}.`, startWith: null };
  }
  return {
    sentence: `No site of ${page.sites} calls for action yet; ${others.join(', ')}.`,
    startWith: first,
  };
}
