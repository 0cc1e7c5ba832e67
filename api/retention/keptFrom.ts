import type pg from 'pg';

/** Since when all sweeps of a site are still there, ms; null when none has been let go. */
export async function keptFrom(client: pg.ClientBase, siteId: number): Promise<number | null> {
  const { rows } = await client.query<{ kept: Date | null }>({
    name: 'engine kept from',
    text: `
      select date_trunc('month', max(day), 'UTC') + interval '1 month' as kept
      from daily_median where site_id = $1`,
    values: [siteId],
  });
  return rows[0]?.kept?.getTime() ?? null;
}
