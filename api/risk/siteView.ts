import type { Db } from '../../ingest/store/database.ts';
import { agentView } from '../agents/agentView.ts';
import { standingAlerts } from '../alerts/standingAlerts.ts';
import type { ProbableCause } from '../diagnosis/causes/cause.ts';
import { findingFromRow } from '../diagnosis/findingRows.ts';
import { findingView } from '../diagnosis/findingView.ts';
import { type PlacedFinding, placedFindings } from '../diagnosis/placedFinding.ts';
import { treeOrder } from '../diagnosis/tree.ts';
import { NotFound } from '../errors.ts';
import { type Calibrations, loadCalibrations } from '../instruments/calibrations.ts';
import { type OverdueInstrument, overdueEvidence } from '../instruments/overdueEvidence.ts';
import { type LevelRanges, levelRanges } from '../limits/levelRanges.ts';
import { markedWindow, windowsFor } from '../maintenance/windowsAt.ts';
import type { FindingView, Verdict } from '../schemas/common.ts';
import type { PointView, SiteView } from '../schemas/site.ts';
import type { Finding } from '../trend/types.ts';
import { assessSite } from './assessSite.ts';
import { type FleetRecord, fleetRow } from './fleetRow.ts';
import { latestReading } from './latestReading.ts';
import { type LoadedSite, loadSite, treeOf } from './loadSite.ts';
import { siteFacts } from './refreshSiteRisk.ts';
import { loadSiteCauses } from './siteCauses.ts';

/** Work that is near enough to be told beforehand. */
const WINDOWS_AHEAD_MS = 7 * 86_400_000;

/**
 * Everything the site page shows before a point is opened. The rank and its sentence are those of the fleet
 * page; verdicts of points are taken now.
 *
 * @throws NotFound when there is no such site
 */
export async function siteView(db: Db, siteId: number, nowMs: number): Promise<SiteView> {
  const site = await loadSite(db, siteId, nowMs);
  if (site === null) throw new NotFound('site', siteId);
  const record = await rankRecord(db, siteId);
  const { address, contact, access_notes, plan_id } = site.row;

  const calibrations = await loadCalibrations(db, siteId);
  const facts = siteFacts(site, nowMs);
  const assessed = assessSite(facts, nowMs);
  const verdicts = new Map(assessed.points.map(({ pointId, verdict }) => [pointId, verdict]));

  return {
    site: {
      ...fleetRow(record),
      address,
      contact,
      accessNotes: access_notes,
      planId: plan_id,
      planName: record.plan_name,
    },
    points: pointsInTreeOrder(site, verdicts, await levelRanges(db, siteId, null, nowMs), calibrations),
    findings: findingsOf(
      site,
      await loadSiteCauses(db, site),
      await overdueEvidence(db, siteId, site.findings, calibrations),
      nowMs,
    ),
    troubles: facts.troubles.map(({ kind, pointIds, sinceMs, clauses, doFirst }) => ({
      kind,
      pointIds: [...pointIds],
      since: new Date(sinceMs).toISOString(),
      sentence: `${clauses.join('; ')}.`,
      doFirst,
    })),
    agents: site.agents.map((received) => agentView(received, { timeZone: site.row.time_zone, nowMs })),
    maintenance: (await windowsFor(db, siteId, nowMs, nowMs + WINDOWS_AHEAD_MS)).map(markedWindow),
  };
}

async function rankRecord(db: Db, siteId: number): Promise<FleetRecord & { plan_name: string | null }> {
  return db
    .selectFrom('site')
    .leftJoin('site_risk', 'site_risk.site_id', 'site.site_id')
    .leftJoin('provider', 'provider.provider_id', 'site.provider_id')
    .leftJoin('channel_plan', 'channel_plan.plan_id', 'site.plan_id')
    .select([
      'site.site_id',
      'site.name',
      'site.town',
      'site.outlets',
      'site.time_zone',
      'provider.name as provider_name',
      'channel_plan.name as plan_name',
      'site_risk.outlet_days',
      'site_risk.verdict',
      'site_risk.side',
      'site_risk.sentence',
      'site_risk.since',
      'site_risk.days_to_limit',
      'site_risk.last_sweep_at',
      'site_risk.strip',
      standingAlerts('site').as('alerts'),
    ])
    .where('site.site_id', '=', siteId)
    .executeTakeFirstOrThrow();
}

function pointsInTreeOrder(
  site: LoadedSite,
  verdicts: ReadonlyMap<number, Verdict>,
  ranges: ReadonlyMap<number, LevelRanges>,
  calibrations: Calibrations,
): PointView[] {
  const ordered = treeOrder(
    site.points.map((point) => ({ pointId: point.row.point_id, fedBy: point.row.fed_by, loaded: point })),
  );
  return ordered.map(({ point: { loaded, pointId, fedBy }, depth }) => ({
    pointId,
    name: loaded.row.name,
    label: loaded.row.label,
    kind: loaded.row.kind,
    fedBy,
    hopNote: loaded.row.hop_note,
    outlets: loaded.row.outlets,
    depth,
    verdict: verdicts.get(pointId)!,
    limitSet: { id: loaded.limitSet.id, name: loaded.limitSet.name, source: loaded.limitSet.source },
    baselineVersion: loaded.baseline?.version ?? null,
    latest: latestReading(loaded, site.plan, ranges.get(pointId), calibrations),
  }));
}

/** Open ones first, newest first; then those that have ended. */
function findingsOf(
  site: LoadedSite,
  causesOf: (finding: Finding) => readonly ProbableCause[],
  overdueOf: (finding: Finding) => OverdueInstrument | null,
  nowMs: number,
): FindingView[] {
  const placed = placedFindings(site.findings.map(findingFromRow), treeOf(site.points));
  const byId = new Map(site.points.map((point) => [point.row.point_id, point]));
  const isOpen = (each: PlacedFinding): number => (each.finding.closedMs === null ? 1 : 0);

  return placed
    .toSorted((a, b) => isOpen(b) - isOpen(a) || b.finding.onsetMs - a.finding.onsetMs)
    .map((each) =>
      findingView(
        each,
        causesOf(each.finding),
        {
          timeZone: site.row.time_zone,
          nowMs,
          latestMs: byId.get(each.finding.pointId)?.sweeps[0]?.atMs ?? nowMs,
        },
        overdueOf(each.finding),
      ),
    );
}
