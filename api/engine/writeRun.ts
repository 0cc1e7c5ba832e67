import type pg from 'pg';
import { keptCheckpoints } from './checkpoints.ts';
import { keptLatest } from './keptLatest.ts';
import { changedStates, hoursOf, type SiteRun } from './siteRun.ts';
import { writeFindings } from './writeFindings.ts';
import { writeHours } from './writeHours.ts';

/** Writes what a site's run concluded, in place of what was concluded without the news. */
export async function writeRun(client: pg.ClientBase, siteId: number, run: SiteRun): Promise<void> {
  if (run.rewound) await forget(client, siteId, run.startedMs);
  await writeInstruments(client, siteId, run);
  await writeHours(client, siteId, hoursOf(run));
  await writeFindings(client, siteId, [...run.findings.values()]);
  await writeCheckpoints(client, siteId, run);
  await writeStates(client, siteId, run);
}

/** An instrument appears with its first sweep; people say later what it is. */
async function writeInstruments(
  client: pg.ClientBase,
  siteId: number,
  { newInstruments }: SiteRun,
): Promise<void> {
  if (newInstruments.size === 0) return;
  await client.query(
    'insert into instrument (site_id, name) select $1, unnest($2::text[]) on conflict do nothing',
    [siteId, [...newInstruments]],
  );
}

/** Hours need no forgetting: their sweeps are still there, so each is written anew. */
async function forget(client: pg.ClientBase, siteId: number, startedMs: number | null): Promise<void> {
  const started = startedMs === null ? '-infinity' : new Date(startedMs);
  await client.query('delete from finding where site_id = $1 and told_at > $2', [siteId, started]);
  await client.query('delete from checkpoint where site_id = $1 and at > $2', [siteId, started]);
}

async function writeCheckpoints(
  client: pg.ClientBase,
  siteId: number,
  { checkpoints, lastMs }: SiteRun,
): Promise<void> {
  if (checkpoints.length === 0) return;
  for (const { atMs, packed } of checkpoints) {
    await client.query({
      name: 'engine write checkpoint',
      text: `
        insert into checkpoint (site_id, at, state) values ($1, $2, $3)
        on conflict (site_id, at) do update set state = excluded.state`,
      values: [siteId, new Date(atMs), packed],
    });
  }
  const { rows } = await client.query<{ at: Date }>({
    name: 'engine checkpoints',
    text: 'select at from checkpoint where site_id = $1 order by at',
    values: [siteId],
  });
  const stored = rows.map(({ at }) => ({ at, atMs: at.getTime() }));
  const kept = new Set(keptCheckpoints(stored, lastMs!));
  const outgrown = stored.filter((checkpoint) => !kept.has(checkpoint));
  if (outgrown.length === 0) return;
  await client.query({
    name: 'engine drop checkpoints',
    text: 'delete from checkpoint where site_id = $1 and at = any($2::timestamptz[])',
    values: [siteId, outgrown.map(({ at }) => at)],
  });
}

/** States go as lines of one text: PostgreSQL takes them apart four times as fast as it does JSON inside JSON. */
async function writeStates(client: pg.ClientBase, siteId: number, run: SiteRun): Promise<void> {
  const { trend, lastMs, latest } = run;
  const points = changedStates(run);
  if (points.length > 0) {
    const readings = points.map(({ pointId }) => {
      const reading = latest.get(pointId);
      return JSON.stringify(reading === undefined ? null : keptLatest(reading));
    });
    await client.query({
      name: 'engine write point states',
      text: `
        insert into point_state (site_id, point_id, last_at, state, latest)
        select $1, point_id, last_at, state::json, nullif(latest, 'null')::jsonb
        from unnest($2::bigint[], $3::timestamptz[], string_to_array($4, E'\\n'), string_to_array($5, E'\\n'))
          as sent (point_id, last_at, state, latest)
        on conflict (site_id, point_id) do update
          set last_at = excluded.last_at, state = excluded.state, latest = coalesce(excluded.latest, point_state.latest)`,
      values: [
        siteId,
        points.map(({ pointId }) => pointId),
        points.map(({ lastMs: at }) => (at === null ? null : new Date(at))),
        points.map(({ json }) => json).join('\n'),
        readings.join('\n'),
      ],
    });
  }
  await client.query({
    name: 'engine write site state',
    text: 'update site_state set last_at = $2, state = $3 where site_id = $1',
    values: [siteId, lastMs === null ? null : new Date(lastMs), JSON.stringify(trend.shared)],
  });
}
