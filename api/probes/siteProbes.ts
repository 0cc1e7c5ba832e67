import { sql } from 'kysely';
import type { Db } from '../../ingest/store/database.ts';
import type { ProbeRow } from '../../ingest/store/schema.ts';
import { NotFound } from '../errors.ts';
import type { ProbeRunView, ProbeStanding, ProbeView } from '../schemas/probes.ts';
import { doingOf, faultOf, runCounts, standingAt } from './probeStanding.ts';

type Row = ProbeRow & { point: string; standing: ProbeStanding; runs: number | null; failed: number | null };

/** The site's probes by name; never their secrets. */
export function listProbes(db: Db, siteId: number, nowMs: number): Promise<ProbeView[]> {
  return probesWhere(db, siteId, null, nowMs);
}

/** Throws NotFound. */
export async function findProbe(db: Db, siteId: number, probeId: number, nowMs: number): Promise<ProbeView> {
  const [probe] = await probesWhere(db, siteId, probeId, nowMs);
  if (probe === undefined) throw new NotFound('probe', probeId);
  return probe;
}

/** Runs of a probe, newest first, those before the run `before` when it is given. */
export async function listRuns(
  db: Db,
  siteId: number,
  probeId: number,
  { before, limit }: { readonly before?: number | undefined; readonly limit: number },
): Promise<ProbeRunView[]> {
  let query = db
    .selectFrom('probe_run')
    .selectAll()
    .where('site_id', '=', siteId)
    .where('probe_id', '=', probeId)
    .orderBy('run_id', 'desc')
    .limit(limit);
  if (before !== undefined) query = query.where('run_id', '<', before);
  return (await query.execute()).map((row) => ({
    runId: row.run_id,
    dueAt: row.due_at?.toISOString() ?? null,
    startedAt: row.started_at.toISOString(),
    endedAt: row.ended_at.toISOString(),
    outcome: row.outcome,
    tries: row.tries,
    askedBy: row.asked_by,
    error: faultOf(row.error_code, row.error_text, row.error_action),
    sweeps: row.sweeps,
    told: row.told,
  }));
}

async function probesWhere(
  db: Db,
  siteId: number,
  probeId: number | null,
  nowMs: number,
): Promise<ProbeView[]> {
  const { rows } = await sql<Row>`
    select probe.*, coalesce(nullif(point.label, ''), point.name) as point, ${standingAt(nowMs)} as standing,
      counted.runs, counted.failed
    from probe
    join point on point.site_id = probe.site_id and point.point_id = probe.point_id
    left join ${runCounts(siteId, nowMs)} counted on counted.site_id = probe.site_id and counted.probe_id = probe.probe_id
    where probe.site_id = ${siteId} and (${probeId}::bigint is null or probe.probe_id = ${probeId})
    order by probe.name`.execute(db);
  return rows.map((row) => probeView(row, nowMs));
}

/** Settings were held against the schema of their kind when they were stored. */
function probeView(row: Row, nowMs: number): ProbeView {
  return {
    probeId: row.probe_id,
    pointId: row.point_id,
    name: row.name,
    point: row.point,
    kind: row.kind,
    settings: row.settings,
    schedule: row.schedule,
    timeoutS: row.timeout_s,
    floorS: row.floor_s,
    enabled: row.enabled,
    createdBy: row.created_by,
    createdAt: row.created_at.toISOString(),
    ...doingOf(row, nowMs),
  } as ProbeView;
}
