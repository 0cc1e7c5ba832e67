import type pg from 'pg';
import { keptCheckpoints } from './checkpoints.ts';
import { keptLatest } from './keptLatest.ts';
import { changedStates, hoursOf, type SiteRun } from './siteRun.ts';
import { writeFindings } from './writeFindings.ts';
import { writeHours } from './writeHours.ts';

/** Writes what a site's run concluded, in place of what was concluded without the news. */
export async function writeRun(client: pg.ClientBase, siteId: number, run: SiteRun): Promise<void> {
  if (run.rewound) await forget(client, siteId, run.startedMs);
  await writeHours(client, siteId, hoursOf(run));
  await writeFindings(client, siteId, [...run.findings.values()]);
  await writeCheckpoints(client, siteId, run);
  await writeStates(client, siteId, run);
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
  await client.query({
    name: 'engine write checkpoints',
    text: `
      insert into checkpoint (site_id, at, state)
      select $1, at, state from json_to_recordset($2) as sent (at timestamptz, state json)
      on conflict (site_id, at) do update set state = excluded.state`,
    values: [
      siteId,
      `[${checkpoints.map(({ atMs, json }) => `{"at":"${iso(atMs)}","state":${json}}`).join(',')}]`,
    ],
  });
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

async function writeStates(client: pg.ClientBase, siteId: number, run: SiteRun): Promise<void> {
  const { trend, lastMs, latest } = run;
  const points = changedStates(run).map(({ pointId, lastMs, json }) => {
    const observation = latest.get(pointId);
    const reading = observation === undefined ? null : keptLatest(observation);
    return `{"point_id":${pointId},"last_at":"${iso(lastMs!)}","state":${json},"latest":${JSON.stringify(reading)}}`;
  });
  if (points.length > 0) {
    await client.query({
      name: 'engine write point states',
      text: `
        insert into point_state (site_id, point_id, last_at, state, latest)
        select $1, point_id, last_at, state, latest
        from json_to_recordset($2) as sent (point_id bigint, last_at timestamptz, state json, latest jsonb)
        on conflict (site_id, point_id) do update
          set last_at = excluded.last_at, state = excluded.state, latest = coalesce(excluded.latest, point_state.latest)`,
      values: [siteId, `[${points.join(',')}]`],
    });
  }
  await client.query({
    name: 'engine write site state',
    text: 'update site_state set last_at = $2, state = $3 where site_id = $1',
    values: [siteId, lastMs === null ? null : new Date(lastMs), JSON.stringify(trend.shared)],
  });
}

function iso(ms: number): string {
  return new Date(ms).toISOString();
}
