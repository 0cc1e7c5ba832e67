import type { Db } from '../../ingest/store/database.ts';
import type { AlertRow, FindingRow } from '../../ingest/store/schema.ts';
import { findingFromRow } from '../diagnosis/findingRows.ts';
import { isWithinFloor } from '../diagnosis/practicalFloor.ts';
import { findingWord } from '../tradeWords.ts';
import type { KnownTrouble } from './judgeComplaint.ts';

/** Everything that alerts and findings ever told of the sites, by site: one statement a table. */
export async function knownTroubles(
  db: Db,
  siteIds: readonly number[],
): Promise<ReadonlyMap<number, readonly KnownTrouble[]>> {
  if (siteIds.length === 0) return new Map();
  const findings = await db.selectFrom('finding').selectAll().where('site_id', 'in', siteIds).execute();
  const alerts = await db
    .selectFrom('alert_finding')
    .innerJoin('alert', 'alert.alert_id', 'alert_finding.alert_id')
    .selectAll('alert')
    .select(['alert_finding.site_id as at_site', 'alert_finding.event', 'alert_finding.point_id'])
    .where('alert_finding.site_id', 'in', siteIds)
    .execute();

  const bySite = new Map(siteIds.map((siteId) => [siteId, [] as KnownTrouble[]]));
  const rows = new Map(findings.map((row) => [keyOf(row.site_id, row.event, row.point_id), row]));
  for (const row of findings) bySite.get(row.site_id)!.push(findingTrouble(row));
  const told = Map.groupBy(alerts, ({ alert_id, at_site }) => `${alert_id} ${at_site}`);
  for (const parts of told.values()) {
    const siteId = parts[0]!.at_site;
    const places = parts.map((part) => placeOf(part, rows.get(keyOf(siteId, part.event, part.point_id))));
    bySite.get(siteId)!.push(alertTrouble(parts[0]!, places));
  }
  return bySite;
}

const keyOf = (siteId: number, event: number, pointId: number) => `${siteId} ${event} ${pointId}`;

function findingTrouble(row: FindingRow): KnownTrouble {
  return {
    source: 'finding',
    toldMs: row.detected_at.getTime(),
    onsetMs: row.onset_at.getTime(),
    overMs: row.closed_at?.getTime() ?? null,
    small: isWithinFloor(findingFromRow(row)),
    places: [placeOf(row, row)],
    title: findingWord(row.kind, row.metric),
    alertId: null,
  };
}

function alertTrouble(row: AlertRow, places: KnownTrouble['places']): KnownTrouble {
  return {
    source: 'alert',
    toldMs: row.raised_at.getTime(),
    onsetMs: row.onset_at.getTime(),
    overMs: (row.returned_at ?? row.closed_at)?.getTime() ?? null,
    small: false,
    places: row.kind === 'provider-event' ? null : places,
    title: row.title,
    alertId: row.alert_id,
  };
}

/** A finding that the engine has since withdrawn leaves the place without its channels. */
function placeOf({ point_id }: { point_id: number }, finding: FindingRow | undefined) {
  const channels = finding?.evidence['channels'];
  return { pointId: point_id, channels: Array.isArray(channels) ? channels.map(String) : null };
}
