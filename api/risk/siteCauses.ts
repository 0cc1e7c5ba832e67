import type { Db } from '../../ingest/store/database.ts';
import type { ProbableCause } from '../diagnosis/causes/cause.ts';
import { causePlace, type SetUpPoint } from '../diagnosis/causes/causePlace.ts';
import { causesOf } from '../diagnosis/causes/causesOf.ts';
import { type ElsewhereFinding, SAME_EVENT_MS, sitesAlike } from '../diagnosis/causes/sitesAlike.ts';
import type { Finding } from '../trend/types.ts';
import type { LoadedPoint, LoadedSite } from './loadSite.ts';

/**
 * Says of the site's findings why they may have come about, most likely first; nothing of one that follows another, nor of
 * one whose hop is no longer set up.
 */
export async function loadSiteCauses(
  db: Db,
  site: LoadedSite,
): Promise<(finding: Finding) => readonly ProbableCause[]> {
  const points = site.points.map(setUpOf);
  const elsewhere = await loadElsewhere(db, site);

  return (finding) => {
    if (finding.explainedBy !== null) return [];
    const alike = finding.side === 'provider' ? sitesAlike(finding, elsewhere) : 0;
    const place = causePlace(finding, points, alike);
    return place === null ? [] : causesOf(finding, place);
  };
}

function setUpOf({ row, latest }: LoadedPoint): SetUpPoint {
  return {
    pointId: row.point_id,
    fedBy: row.fed_by,
    kind: row.kind,
    hopNote: row.hop_note,
    correctsItself: row.corrects_itself,
    ambientKnown: latest !== null && latest.ambientC !== null,
  };
}

/** What began on the provider's side at its other sites, as far back as such findings of this site reach. */
async function loadElsewhere(db: Db, { row: site, findings }: LoadedSite): Promise<ElsewhereFinding[]> {
  const onsets = findings.filter(({ side }) => side === 'provider').map((row) => row.onset_low_at.getTime());
  if (site.provider_id === null || onsets.length === 0) return [];

  const rows = await db
    .selectFrom('finding')
    .innerJoin('site', 'site.site_id', 'finding.site_id')
    .select(['finding.site_id', 'finding.kind', 'finding.metric', 'finding.onset_at', 'finding.size_db'])
    .where('site.provider_id', '=', site.provider_id)
    .where('site.site_id', '<>', site.site_id)
    .where('finding.side', '=', 'provider')
    .where('finding.explained_by', 'is', null)
    .where('finding.onset_at', '>=', new Date(Math.min(...onsets) - SAME_EVENT_MS))
    .execute();
  return rows.map((row) => ({
    siteId: row.site_id,
    kind: row.kind as Finding['kind'],
    metric: row.metric as Finding['metric'],
    onsetMs: row.onset_at.getTime(),
    sizeDb: row.size_db,
  }));
}
