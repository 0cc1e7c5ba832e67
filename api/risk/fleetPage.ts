import type { z } from '@hono/zod-openapi';
import { type RawBuilder, sql } from 'kysely';
import type { Db } from '../../ingest/store/database.ts';
import type { Verdict } from '../schemas/common.ts';
import type { FleetPage, FleetQuery } from '../schemas/fleet.ts';
import { STRIP_HIGH_MHZ, STRIP_LOW_MHZ } from '../trend/bandStrip.ts';
import { type FleetRecord, fleetRow } from './fleetRow.ts';

/**
 * One slice of the fleet, ranked by expected outlet-days. A rank is the site's place in the whole fleet,
 * whatever the search; counts by verdict are of the sites that the search finds. Sites that nobody has assessed
 * yet come last.
 */
export async function fleetPage(db: Db, query: z.output<typeof FleetQuery>): Promise<FleetPage> {
  const found = matching(query.search);
  const [page, tally] = await Promise.all([rankedSlice(db, query, found), countByVerdict(db, found)]);

  const counts: Record<Verdict, number> = { act: 0, watch: 0, silent: 0, steady: 0, 'no-baseline': 0 };
  for (const { verdict, found } of tally) counts[verdict] = found;
  const all = Object.values(counts).reduce((total, count) => total + count, 0);
  return {
    total: query.verdict === undefined ? all : counts[query.verdict],
    sites: tally.reduce((total, row) => total + row.sites, 0),
    counts,
    stripLowMhz: STRIP_LOW_MHZ,
    stripHighMhz: STRIP_HIGH_MHZ,
    rows: page.map((record) => ({ ...fleetRow(record), rank: record.rank })),
  };
}

async function rankedSlice(
  db: Db,
  query: z.output<typeof FleetQuery>,
  found: RawBuilder<boolean>,
): Promise<(FleetRecord & { rank: number })[]> {
  const ofVerdict =
    query.verdict === undefined ? sql`true` : sql`coalesce(site.verdict, 'no-baseline') = ${query.verdict}`;
  const { rows } = await sql<FleetRecord & { rank: number }>`
    with slice as (
      select site_id, rank, provider_name
      from (
        select site.site_id, site.name, site.town, provider.name as provider_name, site_risk.verdict,
          row_number() over (order by site_risk.outlet_days desc nulls last, site.site_id) as rank
        from site
        left join site_risk on site_risk.site_id = site.site_id
        left join provider on provider.provider_id = site.provider_id
      ) as site
      where ${found} and ${ofVerdict}
      order by rank
      limit ${query.limit} offset ${query.offset}
    )
    select slice.rank, slice.provider_name, site.site_id, site.name, site.town, site.outlets, site.time_zone,
      site_risk.outlet_days, site_risk.verdict, site_risk.side, site_risk.sentence, site_risk.since,
      site_risk.days_to_limit, site_risk.last_sweep_at, site_risk.strip
    from slice
    join site on site.site_id = slice.site_id
    left join site_risk on site_risk.site_id = slice.site_id
    order by slice.rank`.execute(db);
  return rows;
}

async function countByVerdict(
  db: Db,
  found: RawBuilder<boolean>,
): Promise<{ verdict: Verdict; found: number; sites: number }[]> {
  const { rows } = await sql<{ verdict: Verdict; found: number; sites: number }>`
    select coalesce(verdict, 'no-baseline') as verdict, count(*) filter (where ${found}) as found, count(*) as sites
    from (
      select site.name, site.town, provider.name as provider_name, site_risk.verdict
      from site
      left join site_risk on site_risk.site_id = site.site_id
      left join provider on provider.provider_id = site.provider_id
    ) as site
    group by 1`.execute(db);
  return rows;
}

/** Every word, in any order, somewhere in site, town or provider; capitals don't matter. */
function matching(search: string): RawBuilder<boolean> {
  const words = search.split(/\s+/).filter((word) => word !== '');
  const conditions = words.map((word) => {
    const pattern = `%${word.replaceAll(/[\\%_]/g, '\\$&')}%`;
    return sql`concat_ws(' ', site.name, site.town, site.provider_name) ilike ${pattern}`;
  });
  return conditions.length === 0 ? sql<boolean>`true` : sql<boolean>`(${sql.join(conditions, sql` and `)})`;
}
