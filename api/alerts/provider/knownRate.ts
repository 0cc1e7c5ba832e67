import { sql } from 'kysely';
import type { Db } from '../../../ingest/store/database.ts';
import { ratePerSiteDay } from './chance.ts';

const DAY_MS = 86_400_000;
const KNOWN_DAYS = 90;

/**
 * How often a provider's site shows a likeness by itself, a day: by the alerts of the last 90 days up to a day before `beforeMs`
 * that were part of no event.
 */
export async function knownRate(
  db: Db,
  { providerId, likeness, beforeMs }: { providerId: number; likeness: string; beforeMs: number },
  nowMs: number,
): Promise<number> {
  const from = new Date(nowMs - KNOWN_DAYS * DAY_MS);
  const before = new Date(beforeMs - DAY_MS);
  const { rows } = await sql<{ seen: number; site_days: number }>`
    select
      (select count(*)::int from alert
        where kind = 'site' and provider_id = ${providerId} and part_of is null
          and (cause_key = ${likeness} or cause_key like ${`% ${likeness}`})
          and onset_at >= ${from} and onset_at < ${before}) as seen,
      (select coalesce(sum(extract(epoch from ${new Date(nowMs)}::timestamptz - greatest(created_at, ${from}::timestamptz))), 0)::float8 / 86400
        from site where provider_id = ${providerId}) as site_days`.execute(db);
  const { seen, site_days } = rows[0]!;
  return ratePerSiteDay(seen, Math.max(0, site_days));
}
