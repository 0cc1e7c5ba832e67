import { sql } from 'kysely';
import type { Db } from '../../ingest/store/database.ts';
import type { ClaimedProbe } from './claimDue.ts';

/** Gives a probe back unread, as if it had not been claimed: this server stops, and another may read it at once. */
export async function releaseClaim(
  db: Db,
  { siteId, probeId, claim, instrumentKey }: ClaimedProbe,
  nowMs: number,
): Promise<void> {
  const now = new Date(nowMs);
  await sql`
    with released as (
      update probe set claim = null, claimed_by = null, tries = tries - 1, wake_at = ${now}
      where site_id = ${siteId} and probe_id = ${probeId} and claim = ${claim}
      returning probe_id
    )
    update probe_instrument set free_at = ${now}
    where instrument_key = ${instrumentKey} and exists (select from released)`.execute(db);
}
