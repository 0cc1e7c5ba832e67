import type { Db } from '../../ingest/store/database.ts';
import type { NewAlert } from '../../ingest/store/schema.ts';

/** An open alert over findings of one site, as its row stands some time after it was raised. */
export async function givenRaisedAlert(
  db: Db,
  siteId: number,
  findings: readonly { readonly event: number; readonly pointId: number }[],
  raisedMs: number,
  changes: Partial<NewAlert> = {},
): Promise<number> {
  const onsetAt = new Date(raisedMs - 86_400_000);
  const { alert_id } = await db
    .insertInto('alert')
    .values({
      kind: 'site',
      site_id: siteId,
      cause_key: `${siteId} level ${raisedMs}`,
      severity: 'major',
      state: 'active-unacknowledged',
      title: 'Level falls in the riser',
      sentence: 'Level falls by 0.09 dB a day.',
      side: 'building',
      do_first: 'Check the riser.',
      onset_at: onsetAt,
      onset_low_at: onsetAt,
      onset_high_at: onsetAt,
      raised_at: new Date(raisedMs),
      outlets: 40,
      sites: 1,
      priority: 60,
      ...changes,
    })
    .returning('alert_id')
    .executeTakeFirstOrThrow();
  if (findings.length > 0) {
    await db
      .insertInto('alert_finding')
      .values(findings.map(({ event, pointId }) => ({ alert_id, site_id: siteId, event, point_id: pointId })))
      .execute();
  }
  return alert_id;
}
