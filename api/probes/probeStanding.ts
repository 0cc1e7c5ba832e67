import { sql } from 'kysely';
import type { ProbeRow } from '../../ingest/store/schema.ts';
import type { ProbeFault, ProbeStanding } from '../schemas/probes.ts';

/** Due for longer, and nobody reads it: no server keeps up. */
export const LATE_AFTER_S = 60;
const COUNTED_DAYS = 30;

/** The standing of a row of `probe`, in SQL; see `standing` in the schema for what each means. */
export function standingAt(nowMs: number) {
  return sql<ProbeStanding>`case
    when not probe.enabled then 'paused'
    when probe.failures > 0 then 'failing'
    when probe.claim is null and probe.due_at < ${new Date(nowMs)}::timestamptz - ${LATE_AFTER_S}::integer * interval '1 second' then 'late'
    when probe.last_run_at is null then 'unread'
    else 'sound' end`;
}

/** Runs of the last 30 days of each probe, to be joined as `counted`; those of one site, or of all when it is null. */
export function runCounts(siteId: number | null, nowMs: number) {
  const fromDay = new Date(nowMs - COUNTED_DAYS * 86_400_000).toISOString().slice(0, 10);
  return sql<{ site_id: number; probe_id: number; runs: number; failed: number }>`(
    select site_id, probe_id, sum(runs)::integer as runs, sum(failed)::integer as failed
    from probe_day where day > ${fromDay}::date and (${siteId}::bigint is null or site_id = ${siteId})
    group by site_id, probe_id)`;
}

/** What the columns of a probe's row and the two above say of how it does. */
export function doingOf(
  row: Pick<
    ProbeRow,
    | 'claim'
    | 'wake_at'
    | 'asked_at'
    | 'due_at'
    | 'last_run_at'
    | 'last_success_at'
    | 'failures'
    | 'last_error_code'
    | 'last_error_text'
    | 'last_error_action'
  > & { standing: ProbeStanding; runs: number | null; failed: number | null },
  nowMs: number,
) {
  return {
    standing: row.standing,
    underWay: row.claim !== null && row.wake_at !== null && row.wake_at.getTime() > nowMs,
    askedAt: row.asked_at?.toISOString() ?? null,
    dueAt: row.due_at?.toISOString() ?? null,
    lastRunAt: row.last_run_at?.toISOString() ?? null,
    lastSuccessAt: row.last_success_at?.toISOString() ?? null,
    failures: row.failures,
    lastError: faultOf(row.last_error_code, row.last_error_text, row.last_error_action),
    runs: row.runs ?? 0,
    failed: row.failed ?? 0,
  };
}

export function faultOf(
  code: string | null,
  message: string | null,
  action: string | null,
): ProbeFault | null {
  return code === null ? null : { code, message: message ?? '', action: action ?? '' };
}
