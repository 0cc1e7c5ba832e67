import type { Db } from '../../ingest/store/database.ts';
import { findingFromRow } from '../diagnosis/findingRows.ts';
import { placedFindings } from '../diagnosis/placedFinding.ts';
import { windowAt } from '../maintenance/window.ts';
import { dueFrom } from '../punctuality/dueSweeps.ts';
import { siteTroubles } from '../punctuality/siteTroubles.ts';
import { type Assessment, assessSite } from './assessSite.ts';
import { ASSUMPTIONS } from './assumptions.ts';
import { bandStrip } from './bandStrip.ts';
import { type LoadedSite, loadSite, treeOf } from './loadSite.ts';
import { pointFacts } from './pointFacts.ts';
import { type SiteFacts, spreadOutlets } from './siteFacts.ts';
import { worstStrip } from './strip.ts';

/** A site as it was ranked: what was read, how the assessment saw it, and what it said. */
export interface RankedSite {
  readonly site: LoadedSite;
  readonly facts: SiteFacts;
  readonly assessment: Assessment;
}

/**
 * Assesses one site from its newest sweeps, findings and silence, and keeps the result for the fleet page.
 * Call it when something at the site is new, and now and then while nothing is: silence is news too. Null,
 * and nothing done, when there is no such site.
 *
 * @param nowMs wall clock, milliseconds since 1970-01-01 UTC
 */
export async function refreshSiteRisk(db: Db, siteId: number, nowMs: number): Promise<RankedSite | null> {
  const ranked = await rankSite(db, siteId, nowMs);
  if (ranked === null) return null;

  await keep(db, ranked, nowMs);
  return ranked;
}

/** The same without keeping it. */
export async function rankSite(db: Db, siteId: number, nowMs: number): Promise<RankedSite | null> {
  const site = await loadSite(db, siteId, nowMs);
  if (site === null) return null;

  const facts = siteFacts(site, nowMs);
  return { site, facts, assessment: assessSite(facts, nowMs) };
}

/** The site as the assessment sees it. */
export function siteFacts(site: LoadedSite, nowMs: number): SiteFacts {
  const open = site.findings
    .filter((row) => row.closed_at === null && row.kind !== 'instrument-change')
    .map(findingFromRow);
  const byPoint = Map.groupBy(open, ({ pointId }) => pointId);
  const shares = spreadOutlets(
    site.points.map(({ row }) => ({ pointId: row.point_id, fedBy: row.fed_by, outlets: row.outlets })),
    site.row.outlets,
  );
  return {
    timeZone: site.row.time_zone,
    points: site.points.map((point, i) =>
      pointFacts(
        point,
        shares[i]!.outlets,
        site.plan,
        byPoint.get(point.row.point_id) ?? [],
        point.readings.lastMs === null ? null : dueFrom(point.readings.lastMs, site.windows, nowMs),
      ),
    ),
    troubles: siteTroubles(
      site.points.map(({ readings }) => readings),
      site.windows,
      { timeZone: site.row.time_zone, nowMs, agents: site.agents, probes: site.probes },
    ),
    maintenance: windowAt(site.windows, nowMs),
    findings: placedFindings(open, treeOf(site.points)),
  };
}

async function keep(
  db: Db,
  { site, facts: { troubles }, assessment }: RankedSite,
  nowMs: number,
): Promise<void> {
  const row = {
    outlet_days: assessment.outletDays,
    sentence: assessment.sentence,
    verdict: assessment.verdict,
    side: assessment.side,
    since: toDate(assessment.sinceMs),
    days_to_limit: assessment.daysToLimit,
    last_sweep_at: toDate(assessment.lastSweepMs),
    strip: worstStrip(site.points.map(({ carriers, baseline }) => bandStrip(carriers, baseline))),
    parts: JSON.stringify({ assumptions: ASSUMPTIONS, points: assessment.points, troubles }),
    computed_at: new Date(nowMs),
  };
  await db
    .insertInto('site_risk')
    .values({ site_id: site.row.site_id, ...row })
    .onConflict((conflict) => conflict.column('site_id').doUpdateSet(row))
    .execute();
}

function toDate(ms: number | null): Date | null {
  return ms === null ? null : new Date(ms);
}
