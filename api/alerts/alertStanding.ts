import type { Db } from '../../ingest/store/database.ts';
import { NotFound } from '../errors.ts';

/** What people's actions change of an alert. */
export interface AlertStanding {
  readonly title: string;
  readonly siteId: number | null;
  readonly severity: string;
  readonly state: string;
  readonly shelvedUntil: string | null;
  readonly acknowledgedBy: string | null;
}

/** Throws NotFound. */
export async function alertStanding(db: Db, alertId: number): Promise<AlertStanding> {
  const row = await db.selectFrom('alert').selectAll().where('alert_id', '=', alertId).executeTakeFirst();
  if (row === undefined) throw new NotFound('alert', alertId);
  return {
    title: row.title,
    siteId: row.site_id,
    severity: row.severity,
    state: row.state,
    shelvedUntil: row.shelved_until?.toISOString() ?? null,
    acknowledgedBy: row.acknowledged_by,
  };
}
