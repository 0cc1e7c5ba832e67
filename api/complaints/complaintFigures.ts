import { sql } from 'kysely';
import type { Db } from '../../ingest/store/database.ts';
import type { ComplaintRow } from '../../ingest/store/schema.ts';
import type { ComplaintFigures } from '../schemas/complaints.ts';
import { type AlertLookedInto, countFigures } from './countFigures.ts';
import { judgeAll } from './judgeAll.ts';

const MONTH_MS = (365.25 / 12) * 86_400_000;

/** How complaints and alerts of the last `months` months bear each other out, as the findings stand now. */
export async function complaintFigures(db: Db, months: number, nowMs: number): Promise<ComplaintFigures> {
  const since = new Date(nowMs - months * MONTH_MS);
  const rows: (ComplaintRow & { month: string })[] = await db
    .selectFrom('complaint')
    .innerJoin('site', 'site.site_id', 'complaint.site_id')
    .selectAll('complaint')
    .select(sql<string>`to_char(complaint.seen_at at time zone site.time_zone, 'YYYY-MM')`.as('month'))
    .where('complaint.seen_at', '>=', since)
    .where('complaint.withdrawn_at', 'is', null)
    .execute();

  const judged = await judgeAll(db, rows);
  const complaints = judged.map(({ row, judgement }) => ({ month: row.month, judgement }));
  return countFigures(complaints, await alertsLookedInto(db, since));
}

/** One row an alert, by its newest result; a visit that came to nothing because nobody got in doesn't count. */
async function alertsLookedInto(db: Db, since: Date): Promise<AlertLookedInto[]> {
  const { rows } = await sql<AlertLookedInto>`
    select distinct on (visit_result.alert_id)
      to_char(visit_result.done_at at time zone site.time_zone, 'YYYY-MM') as month,
      visit_result.outcome = 'nothing-found' as "nothingFound"
    from visit_result
    join site on site.site_id = visit_result.site_id
    where visit_result.alert_id is not null and visit_result.outcome <> 'not-done'
      and visit_result.done_at >= ${since}
    order by visit_result.alert_id, visit_result.done_at desc`.execute(db);
  return rows;
}
