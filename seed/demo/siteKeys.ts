import type { Db } from '../../ingest/store/database.ts';
import { issueSiteKey, revokeSiteKey } from '../../ingest/store/siteKeys.ts';
import { INSTALLER } from '../fleet/roster.ts';
import { type KeptSecrets, keepSecrets } from './keptSecrets.ts';
import type { KeyedSite } from './sendLive.ts';
import type { SetUpSite } from './setUpFleet.ts';

const LABEL = 'demo box';

/**
 * The site keys that live sweeps are sent with: those kept from an earlier start where the database still
 * knows them, new ones otherwise, which put an end to the box's older keys.
 */
export async function ensureSiteKeys(
  db: Db,
  folder: string,
  secrets: KeptSecrets,
  sites: readonly SetUpSite[],
  nowMs: number,
): Promise<KeyedSite[]> {
  const siteKeys: Record<string, { keyId: number; key: string }> = {};
  for (const { siteId } of sites) {
    const rows = await db
      .selectFrom('site_key')
      .select('key_id')
      .where('site_id', '=', siteId)
      .where('label', '=', LABEL)
      .where('revoked_at', 'is', null)
      .execute();
    const kept = secrets.siteKeys[siteId];
    if (kept && rows.some(({ key_id }) => key_id === kept.keyId)) {
      siteKeys[siteId] = kept;
      continue;
    }
    for (const { key_id } of rows) await revokeSiteKey(db, siteId, key_id, nowMs);
    siteKeys[siteId] = await issueSiteKey(db, { siteId, label: LABEL, createdBy: INSTALLER });
  }
  await keepSecrets(folder, { ...secrets, siteKeys });
  return sites.map((site) => ({ ...site, key: siteKeys[site.siteId]!.key }));
}
