import { sql } from 'kysely';
import type { Db } from '../../ingest/store/database.ts';
import { NotFound } from '../errors.ts';

/**
 * Has a probe read out of turn, paused or not, as soon as its instrument is free; a reading under way answers as well. Throws NotFound.
 */
export async function askForReading(
  db: Db,
  siteId: number,
  probeId: number,
  { by, nowMs }: { readonly by: string; readonly nowMs: number },
): Promise<void> {
  const now = new Date(nowMs);
  const { numAffectedRows } = await sql`
    update probe set asked_at = ${now}, asked_by = ${by},
      wake_at = case when claim is not null and wake_at > ${now} then wake_at else ${now} end
    where site_id = ${siteId} and probe_id = ${probeId}`.execute(db);
  if (numAffectedRows === 0n) throw new NotFound('probe', probeId);
}
