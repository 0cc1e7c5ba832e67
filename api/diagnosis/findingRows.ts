import type { FindingRow } from '../../ingest/store/schema.ts';
import type { Finding } from '../trend/types.ts';

/** A stored row as the engine's vocabulary has it. */
export function findingFromRow(row: FindingRow): Finding {
  const { limit_days_10: p10, limit_days_50: p50, limit_days_90: p90 } = row;
  return {
    event: row.event,
    pointId: row.point_id,
    kind: row.kind as Finding['kind'],
    metric: row.metric as Finding['metric'],
    shape: row.shape as Finding['shape'],
    detectedMs: row.detected_at.getTime(),
    onsetMs: row.onset_at.getTime(),
    onsetLowMs: row.onset_low_at.getTime(),
    onsetHighMs: row.onset_high_at.getTime(),
    sizeDb: row.size_db,
    sizeLowDb: row.size_low_db,
    sizeHighDb: row.size_high_db,
    slopeDbPerDay: row.slope_db_per_day,
    slopeLowDbPerDay: row.slope_low_db_per_day,
    slopeHighDbPerDay: row.slope_high_db_per_day,
    daysToLimit: p10 === null || p50 === null || p90 === null ? null : { p10, p50, p90 },
    limitName: row.limit_name,
    closedMs: row.closed_at?.getTime() ?? null,
    side: row.side,
    hopFrom: row.hop_from,
    hopTo: row.hop_to,
    alsoPossible: row.also_possible.map(Number),
    explainedBy: row.explained_by,
    evidence: row.evidence,
  };
}
