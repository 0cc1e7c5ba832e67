import { daysLeft } from '../diagnosis/findingSentence.ts';
import type { PlacedFinding } from '../diagnosis/placedFinding.ts';
import { isWithinFloor } from '../diagnosis/practicalFloor.ts';
import { upstream } from '../diagnosis/tree.ts';
import type { SiteTrouble } from '../punctuality/siteTroubles.ts';
import type { Side, Verdict } from '../schemas/common.ts';
import type { FindingKind } from '../trend/types.ts';
import { ASSUMPTIONS } from './assumptions.ts';
import { isBroken, nearestLimit } from './nearestLimit.ts';
import { type OutletDaysPart, outletDays } from './outletDays.ts';
import type { PointFacts, SiteFacts } from './siteFacts.ts';
import { type Grounds, siteSentence } from './siteSentence.ts';

/** What the fleet page says about one site, and the figures it comes from. */
export interface Assessment {
  readonly outletDays: number;
  readonly verdict: Verdict;
  readonly side: Side | null;
  readonly sinceMs: number | null;
  readonly daysToLimit: number | null;
  readonly sentence: string;
  readonly lastSweepMs: number | null;
  readonly points: readonly (OutletDaysPart & { readonly verdict: Verdict })[];
}

/**
 * Ranks and explains one site.
 *
 * Verdicts, the first that holds: `act` when a service limit is broken now or the chance of unacceptable
 * service on the last day of the horizon reaches {@link ASSUMPTIONS.actProbability} at some point; `silent` when
 * a point's sweeps stay away by no chance; `watch` when a finding beyond the practical floor ({@link isWithinFloor}) is open, its sweeps come otherwise than
 * they should (one that is only late aside), or {@link ASSUMPTIONS.watchOutletDays} are expected to be lost although neither is; `no-baseline` when no point has one; `steady`.
 */
export function assessSite(site: SiteFacts, nowMs: number): Assessment {
  const facts = { ...site, findings: site.findings.filter(({ finding }) => !isWithinFloor(finding)) };
  const parts = outletDays(facts.points, nowMs);
  const grounds = groundsOf(facts, parts);
  const verdicts = new Map(facts.points.map((point) => [point.pointId, pointVerdict(point, facts, parts)]));
  const times = facts.points.map((point) => point.lastAtMs).filter((at) => at !== null);

  return {
    outletDays: grounds.outletDays,
    verdict: grounds.verdict,
    side: grounds.lead?.finding.side ?? sideOf(grounds),
    sinceMs: sinceOf(grounds),
    daysToLimit: daysToLimit(facts, grounds, nowMs),
    sentence: siteSentence(facts, grounds, nowMs),
    lastSweepMs: times.length === 0 ? null : Math.max(...times),
    points: parts.map((part) => ({ ...part, verdict: verdicts.get(part.pointId)! })),
  };
}

function groundsOf(facts: SiteFacts, parts: readonly OutletDaysPart[]): Grounds {
  const heaviest = parts.toSorted((a, b) => b.outlets * b.limitDays - a.outlets * a.limitDays)[0];
  const heavyPoint = facts.points.find((point) => point.pointId === heaviest?.limitPointId);
  const broken = facts.points.map(nearestLimit).filter((nearest) => nearest !== null && isBroken(nearest));
  const atHeavy = heavyPoint === undefined ? null : nearestLimit(heavyPoint);
  const nearest = atHeavy !== null && isBroken(atHeavy) ? atHeavy : (broken[0] ?? atHeavy);
  const silent = facts.points.filter((point) => isAbsent(facts, point));
  const outletDaysLost = parts.reduce((total, part) => total + part.limitDays * part.outlets, 0);
  const isClose = outletDaysLost >= ASSUMPTIONS.watchOutletDays;
  const trouble = facts.troubles[0] ?? null;

  const verdict = siteVerdict(facts, parts, { broken: broken.length > 0, isClose });
  const lead = leadFinding(facts, nearest?.point ?? heavyPoint ?? null, broken.length > 0);
  return {
    verdict,
    outletDays: parts.reduce((total, part) => total + part.outletDays, 0),
    lead,
    nearest,
    silent,
    trouble,
    isTroubleLead: verdict === 'watch' && lead === null && !isClose && trouble !== null,
  };
}

function siteVerdict(
  facts: SiteFacts,
  parts: readonly OutletDaysPart[],
  { broken, isClose }: { broken: boolean; isClose: boolean },
): Verdict {
  if (broken || parts.some((part) => part.limitProbability >= ASSUMPTIONS.actProbability)) return 'act';
  if (facts.troubles.some(({ kind }) => kind === 'absent')) return 'silent';
  if (facts.findings.length > 0 || facts.troubles.some(isWatched)) return 'watch';
  if (!facts.points.some((point) => point.hasBaseline)) return 'no-baseline';
  return isClose ? 'watch' : 'steady';
}

function isWatched({ kind }: SiteTrouble): boolean {
  return kind !== 'late';
}

function isAbsent({ troubles }: SiteFacts, { pointId }: PointFacts): boolean {
  return troubles.some(({ kind, pointIds }) => kind === 'absent' && pointIds.includes(pointId));
}

function pointVerdict(point: PointFacts, facts: SiteFacts, parts: readonly OutletDaysPart[]): Verdict {
  const part = parts.find((candidate) => candidate.pointId === point.pointId)!;
  const nearest = nearestLimit(point);
  if ((nearest !== null && isBroken(nearest)) || part.ownLimitProbability >= ASSUMPTIONS.actProbability) {
    return 'act';
  }
  if (isAbsent(facts, point)) return 'silent';
  if (facts.findings.some(({ finding }) => finding.pointId === point.pointId)) return 'watch';
  if (facts.troubles.some((trouble) => isWatched(trouble) && trouble.pointIds.includes(point.pointId)))
    return 'watch';
  return point.hasBaseline ? 'steady' : 'no-baseline';
}

/**
 * The finding that explains the rank: on the path to the point that weighs most, one that begins there rather
 * than follows another, the gravest kind first, then the largest. When a limit is broken now, a finding
 * elsewhere in the building doesn't explain it.
 */
function leadFinding(facts: SiteFacts, weighs: PointFacts | null, broken: boolean): PlacedFinding | null {
  const byId = new Map(facts.points.map((point) => [point.pointId, point]));
  const path = new Set(
    weighs === null ? [] : [weighs, ...upstream(weighs.pointId, byId)].map((point) => point.pointId),
  );
  const ranked = facts.findings.toSorted((a, b) => gravity(b) - gravity(a));
  const onPath = ranked.filter(({ finding }) => path.has(finding.pointId));
  return onPath[0] ?? (broken ? null : (ranked[0] ?? null));
}

const KIND_GRAVITY: Readonly<Record<FindingKind, number>> = {
  outage: 3000,
  'channel-lost': 2000,
  drift: 0,
  step: 0,
  dips: 0,
  notch: 0,
  ripple: 0,
  'channel-shift': 0,
  'instrument-change': 0,
};

function gravity({ finding }: PlacedFinding): number {
  const begins = finding.explainedBy === null ? 10_000 : 0;
  const soon = finding.daysToLimit === null ? 0 : 1000 / (1 + finding.daysToLimit.p50);
  return begins + KIND_GRAVITY[finding.kind] + soon + Math.min(500, Math.abs(finding.sizeDb));
}

function sideOf(grounds: Grounds): Side | null {
  if (grounds.verdict === 'steady' || grounds.verdict === 'no-baseline') return null;
  if (grounds.verdict === 'silent' || grounds.nearest === null || grounds.isTroubleLead) return 'unsure';
  return grounds.nearest.point.isHandoff ? 'provider' : 'unsure';
}

function sinceOf(grounds: Grounds): number | null {
  if (grounds.verdict === 'silent') return Math.min(...grounds.silent.map((point) => point.lastAtMs!));
  if (grounds.lead !== null) return grounds.lead.finding.onsetMs;
  return grounds.isTroubleLead ? grounds.trouble!.sinceMs : null;
}

function daysToLimit(facts: SiteFacts, grounds: Grounds, nowMs: number): number | null {
  if (grounds.nearest !== null && isBroken(grounds.nearest)) return 0;
  const left = facts.findings.map(({ finding }) => {
    const latestMs = facts.points.find((point) => point.pointId === finding.pointId)?.lastAtMs ?? nowMs;
    return daysLeft(finding, { nowMs, latestMs })?.p50 ?? null;
  });
  const known = left.filter((count) => count !== null);
  return known.length === 0 ? null : Math.min(...known);
}
