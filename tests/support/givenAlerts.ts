import type { Insertable } from 'kysely';
import type { RuleTerms } from '../../api/notify/rule.ts';
import { addRule } from '../../api/notify/rules.ts';
import type { Db } from '../../ingest/store/database.ts';
import type {
  AlertChangeKind,
  AlertState,
  NewAlert,
  NotifyTargetTable,
  Severity,
} from '../../ingest/store/schema.ts';

/** An alert raised at a moment, with its first change. */
export async function givenAlert(db: Db, raisedMs: number, alert: Partial<NewAlert> = {}): Promise<number> {
  const at = new Date(raisedMs);
  const { alert_id } = await db
    .insertInto('alert')
    .values({
      kind: 'site',
      site_id: null,
      provider_id: null,
      cause_key: 'made up',
      severity: 'major',
      state: 'active-unacknowledged',
      title: 'Level falls at the riser amplifier',
      sentence: 'The level falls by 0.1 dB a day.',
      side: 'building',
      cause: null,
      do_first: 'Measure the input of the amplifier.',
      onset_at: at,
      onset_low_at: at,
      onset_high_at: at,
      raised_at: at,
      limit_days_10: 5,
      limit_days_50: 9,
      limit_days_90: 16,
      outlets: 40,
      sites: 1,
      priority: 12,
      ...alert,
    })
    .returning('alert_id')
    .executeTakeFirstOrThrow();
  const severity = alert.severity ?? 'major';
  await givenChange(db, alert_id, raisedMs, 'raised', { state: 'active-unacknowledged', severity });
  return alert_id;
}

/** A change of an alert, as the alert's own row and its history hold it. */
export async function givenChange(
  db: Db,
  alertId: number,
  atMs: number,
  kind: AlertChangeKind,
  after: { readonly state: AlertState; readonly severity?: Severity },
): Promise<void> {
  const at = new Date(atMs);
  await db
    .insertInto('alert_change')
    .values({ alert_id: alertId, at, kind, by_whom: 'Sam Reed', why: '', after: JSON.stringify(after) })
    .execute();
  const acknowledged = kind === 'acknowledged' ? { acknowledged_by: 'Sam Reed', acknowledged_at: at } : {};
  const returned = kind === 'returned' ? { returned_at: at } : {};
  await db
    .updateTable('alert')
    .set({ ...after, ...acknowledged, ...returned })
    .where('alert_id', '=', alertId)
    .execute();
}

/** Somebody with a mailbox, told at any time of any day, in Chicago. */
export async function givenTarget(
  db: Db,
  name: string,
  changes: Partial<Insertable<NotifyTargetTable>> = {},
): Promise<number> {
  const { target_id } = await db
    .insertInto('notify_target')
    .values({
      kind: 'mailbox',
      name,
      address: `${name.toLowerCase()}@quillhaven.example`,
      time_zone: 'America/Chicago',
      work_days: [1, 2, 3, 4, 5, 6, 7],
      daily: false,
      weekly: false,
      digest_min: 420,
      created_by: 'test',
      ...changes,
    })
    .returning('target_id')
    .executeTakeFirstOrThrow();
  return target_id;
}

/** A rule about every alert from `sinceMs` on. */
export function givenRule(
  db: Db,
  sinceMs: number,
  terms: Pick<RuleTerms, 'steps'> & Partial<RuleTerms>,
): Promise<number> {
  const about = {
    siteIds: null,
    providerIds: null,
    kind: null,
    severityAtLeast: 'warning',
    side: null,
    daysLeftUnder: null,
  } as const;
  const flags = { tellsWorse: true, tellsReturn: true, throughQuiet: false };
  return addRule(db, { name: 'everything', about, delayMin: 0, ...flags, ...terms }, true, 'test', sinceMs);
}
