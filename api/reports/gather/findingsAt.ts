import type { Db } from '../../../ingest/store/database.ts';
import { findingFromRow } from '../../diagnosis/findingRows.ts';
import { findingView } from '../../diagnosis/findingView.ts';
import { placedFindings } from '../../diagnosis/placedFinding.ts';
import { loadCalibrations } from '../../instruments/calibrations.ts';
import { overdueEvidence } from '../../instruments/overdueEvidence.ts';
import { loadSite, treeOf } from '../../risk/loadSite.ts';
import { loadSiteCauses } from '../../risk/siteCauses.ts';
import type { FindingView } from '../../schemas/common.ts';
import type { Period } from '../reportKind.ts';

/**
 * Findings of a site that were known by the end of a period and not over before its start, oldest onset first, told as
 * of that end. Sizes and dates are those that the engine holds now: sweeps since then may have sharpened them.
 */
export async function findingsAt(db: Db, siteId: number, { fromMs, toMs }: Period): Promise<FindingView[]> {
  const site = (await loadSite(db, siteId, toMs, fromMs))!;
  const causesOf = await loadSiteCauses(db, site);
  const latest = new Map(site.points.map(({ row, sweeps }) => [row.point_id, sweeps[0]?.atMs ?? toMs]));
  const rows = site.findings.filter(({ detected_at }) => detected_at.getTime() <= toMs);
  const overdueOf = await overdueEvidence(db, siteId, rows, await loadCalibrations(db, siteId));
  const known = rows.map(findingFromRow).map((finding) => ({
    ...finding,
    closedMs: finding.closedMs !== null && finding.closedMs > toMs ? null : finding.closedMs,
  }));
  return placedFindings(known, treeOf(site.points))
    .toSorted((a, b) => a.finding.onsetMs - b.finding.onsetMs || a.finding.event - b.finding.event)
    .map((placed) =>
      findingView(
        placed,
        causesOf(placed.finding),
        {
          timeZone: site.row.time_zone,
          nowMs: toMs,
          latestMs: Math.min(toMs, latest.get(placed.finding.pointId) ?? toMs),
        },
        overdueOf(placed.finding),
      ),
    );
}
