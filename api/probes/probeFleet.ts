import { sql } from 'kysely';
import type { Db } from '../../ingest/store/database.ts';
import type { ProbeRow } from '../../ingest/store/schema.ts';
import {
  PROBE_STANDINGS,
  type ProbeFleet,
  type ProbeFleetQuestion,
  type ProbeFleetRow,
  type ProbeStanding,
} from '../schemas/probes.ts';
import { probeKind } from './probeKinds.ts';
import { doingOf, runCounts, standingAt } from './probeStanding.ts';

type Row = ProbeRow & {
  site: string;
  town: string;
  point: string;
  time_zone: string;
  standing: ProbeStanding;
  runs: number | null;
  failed: number | null;
};

/**
 * Probes of all sites, worst first: failing ones by how long there has been no reading, then late ones, new ones, and sound ones by
 * how often they failed; paused ones last.
 */
export async function probeFleet(
  db: Db,
  { search, standing, offset, limit }: ProbeFleetQuestion,
  nowMs: number,
): Promise<ProbeFleet> {
  const matching = matchingProbes(search, nowMs);
  const counted = await sql<{ standing: ProbeStanding; count: number }>`
    select standing, count(*) from (${matching}) matching group by standing`.execute(db);
  const found = new Map(counted.rows.map(({ standing: name, count }) => [name, count]));
  const counts = Object.fromEntries(
    PROBE_STANDINGS.map((name) => [name, found.get(name) ?? 0]),
  ) as ProbeFleet['counts'];

  const { rows } = await sql<Row>`
    select matching.*, counted.runs, counted.failed
    from (${matching}) matching
    left join ${runCounts(null, nowMs)} counted on counted.site_id = matching.site_id and counted.probe_id = matching.probe_id
    where ${standing ?? null}::text is null or standing = ${standing ?? null}
    order by array_position(${sql.val([...PROBE_STANDINGS])}::text[], standing),
      case standing when 'late' then due_at else last_success_at end nulls first,
      counted.failed::float8 / nullif(counted.runs, 0) desc nulls last, site, name, probe_id
    offset ${offset} limit ${limit}`.execute(db);

  const { probes } = await db
    .selectFrom('probe')
    .select((eb) => eb.fn.countAll<number>().as('probes'))
    .executeTakeFirstOrThrow();
  const total = standing === undefined ? sum(Object.values(counts)) : (counts[standing] ?? 0);
  return { probes, counts, total, rows: rows.map((row) => rowView(row, nowMs)) };
}

function matchingProbes(search: string, nowMs: number) {
  const words = search.split(/\s+/).filter((word) => word !== '');
  const text = sql`concat_ws(' ', probe.name, site.name, site.town, point.name, point.label, probe.settings ->> 'host', probe.settings ->> 'url')`;
  const matches = words.map((word) => sql`${text} ilike ${`%${word.replaceAll(/[\\%_]/g, '\\$&')}%`}`);
  return sql`
    select probe.*, site.name as site, site.town, site.time_zone,
      coalesce(nullif(point.label, ''), point.name) as point, ${standingAt(nowMs)} as standing
    from probe
    join site on site.site_id = probe.site_id
    join point on point.site_id = probe.site_id and point.point_id = probe.point_id
    ${matches.length === 0 ? sql`` : sql`where ${sql.join(matches, sql` and `)}`}`;
}

function rowView(row: Row, nowMs: number): ProbeFleetRow {
  return {
    siteId: row.site_id,
    probeId: row.probe_id,
    pointId: row.point_id,
    name: row.name,
    site: row.site,
    town: row.town,
    point: row.point,
    timeZone: row.time_zone,
    address: probeKind(row.kind).address(row.settings),
    schedule: row.schedule,
    ...doingOf(row, nowMs),
  };
}

function sum(values: readonly number[]): number {
  return values.reduce((total, value) => total + value, 0);
}
