import type { Db } from '../../ingest/store/database.ts';
import { isNearEnough } from './isAbout.ts';
import type { AlertDossier } from './loadStories.ts';
import type { Rule } from './rule.ts';

/**
 * From when on each alert has had fewer days left than the rule asks for, null while it has more; 0 for rules that don't ask. The
 * history of an alert doesn't hold its forecasts, so the moments are kept in `notify_near`. What was near already when the rule
 * began counts from before it.
 */
export async function nearSince(
  db: Db,
  rule: Rule,
  stories: readonly AlertDossier[],
  nowMs: number,
): Promise<(alertId: number) => number | null> {
  if (rule.about.daysLeftUnder === null) return () => 0;
  const rows = await db.selectFrom('notify_near').selectAll().where('rule_id', '=', rule.ruleId).execute();
  const known = new Map(rows.map(({ alert_id, from_at }) => [alert_id, from_at.getTime()]));
  for (const { alert } of stories) {
    const near = isNearEnough(rule.about, alert);
    if (near === known.has(alert.alertId)) continue;
    if (near) await begin(db, rule.ruleId, alert.alertId, nowMs);
    else await end(db, rule.ruleId, alert.alertId);
    if (near) known.set(alert.alertId, nowMs);
    else known.delete(alert.alertId);
  }
  return (alertId) => known.get(alertId) ?? null;
}

/** Notes the alerts that are near already when a rule begins, so that they are not told as if they had just come near. */
export async function noteNear(db: Db, ruleId: number, daysLeftUnder: number | null): Promise<void> {
  if (daysLeftUnder === null) return;
  await db
    .insertInto('notify_near')
    .columns(['rule_id', 'alert_id', 'from_at'])
    .expression((eb) =>
      eb
        .selectFrom('alert')
        .select([eb.val(ruleId).as('rule_id'), 'alert_id', 'raised_at'])
        .where('closed_at', 'is', null)
        .where('limit_days_50', '<', daysLeftUnder),
    )
    .execute();
}

async function begin(db: Db, ruleId: number, alertId: number, atMs: number): Promise<void> {
  await db
    .insertInto('notify_near')
    .values({ rule_id: ruleId, alert_id: alertId, from_at: new Date(atMs) })
    .execute();
}

async function end(db: Db, ruleId: number, alertId: number): Promise<void> {
  await db.deleteFrom('notify_near').where('rule_id', '=', ruleId).where('alert_id', '=', alertId).execute();
}
