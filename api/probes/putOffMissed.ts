import { sql } from 'kysely';
import type { Db } from '../../ingest/store/database.ts';

/** What is due for longer was missed: no server was there, or none kept up. */
const MISSED_AFTER_S = 120;
/** Missed readings are spread over so long, or over their interval where that is shorter. */
const SPREAD_S = 300;

/**
 * After an outage everything is due at once. Each probe is read once for all the times that it missed, and not at once but at its own
 * place in the next five minutes. None is put off twice for the same time. Answers how many were.
 */
export async function putOffMissed(db: Db, nowMs: number): Promise<number> {
  const now = new Date(nowMs);
  const { numAffectedRows } = await sql`
    with missed as materialized (
      select site_id, probe_id from probe
      where wake_at < ${now}::timestamptz - ${MISSED_AFTER_S}::integer * interval '1 second' and wake_at = due_at
      for update skip locked
    )
    update probe set wake_at = ${now}::timestamptz + place * least(interval_s, ${SPREAD_S}::integer) * interval '1 second'
    from missed
    where probe.site_id = missed.site_id and probe.probe_id = missed.probe_id`.execute(db);
  return Number(numAffectedRows);
}
