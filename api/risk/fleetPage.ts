import type { z } from '@hono/zod-openapi';
import { type RawBuilder, sql } from 'kysely';
import type { Db } from '../../ingest/store/database.ts';
import { standingAlerts } from '../alerts/standingAlerts.ts';
import type { Verdict } from '../schemas/common.ts';
import type { FleetPage, FleetQuery } from '../schemas/fleet.ts';
import { STRIP_HIGH_MHZ, STRIP_LOW_MHZ } from './bandStrip.ts';
import { type FleetRecord, fleetRow } from './fleetRow.ts';

/**
 * One slice of the fleet, ranked by expected outlet-days. A rank is the site's place in the whole fleet,
 * whatever the search; counts by verdict are of the sites that the search finds. Sites that nobody has assessed
 * yet come last.
 */
export async function fleetPage(db: Db, query: z.output<typeof FleetQuery>): Promise<FleetPage> {
  const { rows } = await rankedSlice(query).execute(db);

  const counts: Record<Verdict, number> = { act: 0, watch: 0, silent: 0, steady: 0, 'no-baseline': 0 };
  const tally = rows[0]?.tally ?? [];
  for (const { verdict, found } of tally) counts[verdict] = found;
  const all = tally.reduce((total, { found }) => total + found, 0);
  return {
    total: query.verdict === undefined ? all : counts[query.verdict],
    sites: tally.reduce((total, { sites }) => total + sites, 0),
    counts,
    stripLowMhz: STRIP_LOW_MHZ,
    stripHighMhz: STRIP_HIGH_MHZ,
    rows: rows.filter(isSite).map((record) => ({ ...fleetRow(record), rank: record.rank })),
  };
}

interface Tally {
  readonly verdict: Verdict;
  readonly found: number;
  readonly sites: number;
}

type Ranked = FleetRecord & { readonly rank: number };
/** One row at least, so that the tally comes even with a slice beyond the end. */
type TalliedRow = { readonly tally: readonly Tally[] | null } & (Ranked | { readonly site_id: null });

function isSite(row: TalliedRow): row is TalliedRow & Ranked {
  return row.site_id !== null;
}

function rankedSlice(query: z.output<typeof FleetQuery>): RawBuilder<TalliedRow> {
  const ofVerdict = query.verdict === undefined ? sql`true` : sql`verdict = ${query.verdict}`;
  return sql<TalliedRow>`
    with listed as materialized (
      select site.site_id, provider.name as provider_name,
        coalesce(site_risk.verdict, 'no-baseline') as verdict,
        ${matches(query.search)} as found,
        row_number() over (order by site_risk.outlet_days desc nulls last, site.site_id) as rank
      from site
      left join site_risk on site_risk.site_id = site.site_id
      left join provider on provider.provider_id = site.provider_id
    ), slice as (
      select site_id, rank, provider_name
      from listed
      where found and ${ofVerdict}
      order by rank
      limit ${query.limit} offset ${query.offset}
    ), by_verdict as (
      select verdict, count(*) filter (where found) as found, count(*) as sites
      from listed
      group by verdict
    ), page as (
      select slice.rank, slice.provider_name, site.site_id, site.name, site.town, site.outlets, site.time_zone,
        site_risk.outlet_days, site_risk.verdict, site_risk.side, site_risk.sentence, site_risk.since,
        site_risk.days_to_limit, site_risk.last_sweep_at, site_risk.strip,
        ${standingAlerts('slice')} as alerts
      from slice
      join site on site.site_id = slice.site_id
      left join site_risk on site_risk.site_id = slice.site_id
    )
    select page.*, tallied.tally
    from (select json_agg(by_verdict) as tally from by_verdict) as tallied
    left join page on true
    order by page.rank`;
}

/** Every word, in any order, somewhere in site, town or provider; capitals don't matter. */
function matches(search: string): RawBuilder<boolean> {
  const words = search.split(/\s+/).filter((word) => word !== '');
  const conditions = words.map((word) => {
    const pattern = `%${word.replaceAll(/[\\%_]/g, '\\$&')}%`;
    return sql`concat_ws(' ', site.name, site.town, provider.name) ilike ${pattern}`;
  });
  return conditions.length === 0 ? sql<boolean>`true` : sql<boolean>`(${sql.join(conditions, sql` and `)})`;
}
