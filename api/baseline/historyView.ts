import type { Modulation, PlanVersion } from '../../ingest/plan/channelPlan.ts';
import { planInForce } from '../../ingest/plan/planInForce.ts';
import type { Db } from '../../ingest/store/database.ts';
import { findingFromRow } from '../diagnosis/findingRows.ts';
import { findingView } from '../diagnosis/findingView.ts';
import { placedFindings } from '../diagnosis/placedFinding.ts';
import { ApiError } from '../errors.ts';
import { loadCalibrations } from '../instruments/calibrations.ts';
import { overdueEvidence } from '../instruments/overdueEvidence.ts';
import { levelWindow } from '../limits/levelWindow.ts';
import { limitFor } from '../limits/limitFor.ts';
import type { LimitSet } from '../limits/limitSet.ts';
import { markedWindow, windowsFor } from '../maintenance/windowsAt.ts';
import { loadSite, treeOf } from '../risk/loadSite.ts';
import { loadSiteCauses } from '../risk/siteCauses.ts';
import type { HistoryView } from '../schemas/site.ts';
import { baselineVersions } from './baselineQueries.ts';
import { hourlyColumns, type Span, sweepColumns } from './historyColumns.ts';
import { historyEvents } from './historyEvents.ts';
import { loadPoint } from './loadPoint.ts';

const DAY_MS = 86_400_000;
const DEFAULT_DAYS = 30;
/** Spans up to this long are shown sweep by sweep. */
const SWEEP_DAYS = 3;

/**
 * A point over time. Without `fromMs` and `toMs` it is the last 30 days up to now, or up to the newest sweep
 * where the point has been silent.
 *
 * @throws NotFound when there is no such point
 * @throws ApiError 422 when `toMs` lies before `fromMs`
 */
export async function historyView(
  db: Db,
  siteId: number,
  pointId: number,
  asked: { readonly fromMs: number | null; readonly toMs: number | null; readonly nowMs: number },
): Promise<HistoryView> {
  const { planVersions, limitSet } = await loadPoint(db, siteId, pointId);
  const span = await spanOf(db, siteId, pointId, asked);
  const isFine = span.toMs - span.fromMs <= SWEEP_DAYS * DAY_MS;

  const baselines = await baselineVersions(db, siteId, pointId);
  const columns = isFine
    ? await sweepColumns(db, siteId, pointId, span, { planVersions, limitSet, baselines })
    : await hourlyColumns(db, siteId, pointId, span);
  const plan = planInForce(planVersions, span.toMs);

  return {
    pointId,
    resolution: isFine ? 'sweep' : 'hour',
    ...columns,
    baselines: baselines.toReversed().map((row) => ({
      version: row.version,
      effectiveFrom: row.effective_from.toISOString(),
      levelDbmv: row.level_dbmv,
      tiltDb: row.tilt_db,
      flatnessDb: row.flatness_db,
      merMarginDb: row.worst_mer_margin_db,
    })),
    limits: limitsOf(limitSet, plan),
    findings: await findingsOf(db, siteId, pointId, span, asked.nowMs),
    maintenance: (await windowsFor(db, siteId, span.fromMs, span.toMs)).map(markedWindow),
    events: await historyEvents(db, siteId, pointId, span, planVersions, baselines),
  };
}

async function spanOf(
  db: Db,
  siteId: number,
  pointId: number,
  { fromMs, toMs, nowMs }: { fromMs: number | null; toMs: number | null; nowMs: number },
): Promise<Span> {
  if (fromMs !== null && toMs !== null && toMs < fromMs) {
    throw new ApiError(422, 'span-empty', 'to lies before from', 'choose an end after the start');
  }
  const end = toMs ?? nowMs;
  if (fromMs !== null) return { fromMs, toMs: Math.max(end, fromMs) };

  const newest = await db
    .selectFrom('sweep')
    .select('at')
    .where('site_id', '=', siteId)
    .where('point_id', '=', pointId)
    .where('at', '<=', new Date(end))
    .orderBy('at', 'desc')
    .limit(1)
    .executeTakeFirst();
  const last = newest?.at.getTime() ?? end;
  return { fromMs: last - DEFAULT_DAYS * DAY_MS, toMs: end };
}

/** The level line speaks of the modulation that most channels have, so its window is that one's. */
export function limitsOf(limitSet: LimitSet, plan: PlanVersion | null): HistoryView['limits'] {
  const tilt = limitFor(limitSet, 'tilt', null);
  const flatness = limitFor(limitSet, 'flatness', null);
  const window = (limit: typeof tilt) => ({
    min: limit?.min ?? null,
    target: limit?.target ?? null,
    max: limit?.max ?? null,
  });
  return {
    level: levelWindow(limitSet, plan === null ? null : commonModulation(plan)),
    tilt: window(tilt),
    flatness: window(flatness),
    merMargin: { min: 0, target: null, max: null },
  };
}

function commonModulation(plan: PlanVersion): Modulation | null {
  const byModulation = Map.groupBy(plan.channels, ({ modulation }) => modulation);
  const [most] = [...byModulation].sort(([, a], [, b]) => b.length - a.length);
  return most?.[0] ?? null;
}

async function findingsOf(
  db: Db,
  siteId: number,
  pointId: number,
  span: Span,
  nowMs: number,
): Promise<HistoryView['findings']> {
  const site = (await loadSite(db, siteId, nowMs, span.fromMs))!;
  const here = site.points.find((point) => point.row.point_id === pointId);
  const causesOf = await loadSiteCauses(db, site);

  const rows = site.findings.filter((row) => row.point_id === pointId && row.onset_at.getTime() <= span.toMs);
  const overdueOf = await overdueEvidence(db, siteId, rows, await loadCalibrations(db, siteId));
  const findings = rows.map(findingFromRow);
  return placedFindings(findings, treeOf(site.points)).map((placed) =>
    findingView(
      placed,
      causesOf(placed.finding),
      { timeZone: site.row.time_zone, nowMs, latestMs: here?.sweeps[0]?.atMs ?? nowMs },
      overdueOf(placed.finding),
    ),
  );
}
