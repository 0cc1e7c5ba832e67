import type pg from 'pg';
import type { Finding } from '../trend/types.ts';
import type { ToldFinding } from './siteRun.ts';

/** Writes findings of a site in place of what was told of them before; those that no longer stand go. */
export async function writeFindings(
  client: pg.ClientBase,
  siteId: number,
  told: readonly ToldFinding[],
): Promise<void> {
  if (told.length === 0) return;
  await client.query(
    `delete from finding using unnest($2::integer[], $3::bigint[]) as told (event, point_id)
     where finding.site_id = $1 and finding.event = told.event and finding.point_id = told.point_id`,
    [siteId, told.map(({ event }) => event), told.map(({ pointId }) => pointId)],
  );
  const rows = told.flatMap(({ finding, toldMs }) =>
    finding === null ? [] : [findingRow(siteId, finding, toldMs)],
  );
  if (rows.length === 0) return;
  await client.query('insert into finding select * from jsonb_populate_recordset(null::finding, $1)', [
    JSON.stringify(rows),
  ]);
}

function findingRow(siteId: number, finding: Finding, toldMs: number) {
  const at = (ms: number) => new Date(ms).toISOString();
  return {
    site_id: siteId,
    event: finding.event,
    point_id: finding.pointId,
    kind: finding.kind,
    metric: finding.metric,
    shape: finding.shape,
    detected_at: at(finding.detectedMs),
    onset_at: at(finding.onsetMs),
    onset_low_at: at(finding.onsetLowMs),
    onset_high_at: at(finding.onsetHighMs),
    size_db: finding.sizeDb,
    size_low_db: finding.sizeLowDb,
    size_high_db: finding.sizeHighDb,
    slope_db_per_day: finding.slopeDbPerDay,
    slope_low_db_per_day: finding.slopeLowDbPerDay,
    slope_high_db_per_day: finding.slopeHighDbPerDay,
    limit_days_10: finding.daysToLimit?.p10 ?? null,
    limit_days_50: finding.daysToLimit?.p50 ?? null,
    limit_days_90: finding.daysToLimit?.p90 ?? null,
    limit_name: finding.limitName,
    closed_at: finding.closedMs === null ? null : at(finding.closedMs),
    side: finding.side,
    hop_from: finding.hopFrom,
    hop_to: finding.hopTo,
    also_possible: finding.alsoPossible,
    explained_by: finding.explainedBy,
    evidence: finding.evidence,
    told_at: at(toldMs),
  };
}
