import { sql } from 'kysely';
import type { Db } from '../../ingest/store/database.ts';
import { standingAt } from '../probes/probeStanding.ts';
import type { ProbeStanding } from '../schemas/probes.ts';
import type { ServerProbe } from './types.ts';

interface Row {
  readonly point_id: number;
  readonly name: string;
  readonly standing: ProbeStanding;
  readonly due_at: Date | null;
  readonly last_success_at: Date | null;
  readonly failures: number;
  readonly last_error_text: string | null;
  readonly last_error_action: string | null;
  readonly failed_runs: number;
  readonly failing_since: Date | null;
}

/** The site's probes that the server reads, by name, and since when they fail as far as runs are kept. */
export async function serverProbes(db: Db, siteId: number, nowMs: number): Promise<ServerProbe[]> {
  const { rows } = await sql<Row>`
    select probe.point_id, probe.name, ${standingAt(nowMs)} as standing, probe.due_at, probe.last_success_at,
      probe.failures, probe.last_error_text, probe.last_error_action,
      kept.failed_runs, kept.failing_since
    from probe
    cross join lateral (
      select count(*)::integer as failed_runs, min(started_at) as failing_since from probe_run
      where probe_run.site_id = probe.site_id and probe_run.probe_id = probe.probe_id
        and outcome = 'failed' and ended_at > coalesce(probe.last_success_at, '-infinity')
    ) as kept
    where probe.site_id = ${siteId}
    order by probe.name`.execute(db);
  return rows.map((row) => ({
    pointId: row.point_id,
    name: row.name,
    standing: row.standing,
    hasRead: row.last_success_at !== null,
    dueMs: row.due_at?.getTime() ?? null,
    failing:
      row.failing_since === null
        ? null
        : {
            sinceMs: row.failing_since.getTime(),
            orEarlier: row.failed_runs < row.failures,
            message: row.last_error_text ?? '',
            action: row.last_error_action ?? '',
          },
  }));
}
