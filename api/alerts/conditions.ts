import type { Severity } from '../../ingest/store/schema.ts';
import { findingFromRow } from '../diagnosis/findingRows.ts';
import { isWithinFloor } from '../diagnosis/practicalFloor.ts';
import { treeOrder } from '../diagnosis/tree.ts';
import type { SiteTrouble } from '../punctuality/siteTroubles.ts';
import { ASSUMPTIONS } from '../risk/assumptions.ts';
import type { RankedSite } from '../risk/refreshSiteRisk.ts';
import { outletsBelow, type PointFacts } from '../risk/siteFacts.ts';
import type { Side } from '../schemas/common.ts';
import type { Finding } from '../trend/types.ts';
import { causeKey, SILENCE_KEY } from './causeKey.ts';
import { leastTimeLeft, severityOf, type TimeLeft } from './severity.ts';
import { timeLeft } from './timeLeft.ts';

/** One cause that shows at a site now: an event of the engine with all points that show it, or sweeps that don't come as they should. */
export interface Condition {
  readonly causeKey: string;
  /** Point that ends the hop it lies in, and ends of hops that explain it almost as well; null without findings. */
  readonly hopTo: number | null;
  readonly alsoPossible: readonly number[];
  /** Open findings, the one nearest the root first; none for sweeps that don't come as they should. */
  readonly findings: readonly Finding[];
  readonly trouble: SiteTrouble | null;
  /** Points that show it. */
  readonly pointIds: readonly number[];
  readonly onsetMs: number;
  readonly onsetLowMs: number;
  readonly onsetHighMs: number;
  /** When the engine was sure of it; null for silence, which wall time alone makes. */
  readonly detectedMs: number | null;
  /** Null for silence, which says nothing of whose it is. */
  readonly side: Side | null;
  readonly timeLeft: TimeLeft;
  readonly severity: Severity;
  readonly outlets: number;
  /** Expected outlet-days of unacceptable service over the next 14 days. */
  readonly outletDays: number;
  /** Large enough to begin an alert; one that is there stays until its findings close. */
  readonly isTold: boolean;
}

/** What stands at a site now, oldest onset first. A change of meter is none, nor are sweeps that are late. */
export function conditionsOf(ranked: RankedSite, nowMs: number): Condition[] {
  const { site, facts } = ranked;
  const open = site.findings
    .filter((row) => row.closed_at === null && row.kind !== 'instrument-change')
    .map(findingFromRow);
  const order = new Map(treeOrder(facts.points).map(({ point }, i) => [point.pointId, i]));
  const signal = [...Map.groupBy(open, ({ event }) => event).values()].map((findings) =>
    signalCondition(
      ranked,
      findings.toSorted((a, b) => (order.get(a.pointId) ?? 0) - (order.get(b.pointId) ?? 0)),
      nowMs,
    ),
  );
  const troubles = facts.troubles.filter(({ kind }) => kind !== 'late');
  return [...signal, ...troubles.map((trouble) => troubleCondition(ranked, trouble))].toSorted(
    (a, b) => a.onsetMs - b.onsetMs || (a.causeKey < b.causeKey ? -1 : 1),
  );
}

function signalCondition(ranked: RankedSite, findings: readonly Finding[], nowMs: number): Condition {
  const lead = leadOf(findings);
  const points = new Map(ranked.facts.points.map((point) => [point.pointId, point]));
  const left = leastTimeLeft(
    findings.map((finding) => timeLeft(finding, points.get(finding.pointId), nowMs)),
  );
  const outlets = outletsBelow(ranked.facts.points, lead.hopTo);
  return {
    causeKey: causeKey(lead),
    hopTo: lead.hopTo,
    alsoPossible: lead.alsoPossible,
    findings,
    trouble: null,
    pointIds: findings.map(({ pointId }) => pointId),
    onsetMs: lead.onsetMs,
    onsetLowMs: lead.onsetLowMs,
    onsetHighMs: lead.onsetHighMs,
    detectedMs: Math.min(nowMs, lead.detectedMs),
    side: lead.side,
    timeLeft: left,
    severity: severityOf(left, outlets),
    outlets,
    outletDays: Math.max(
      lead.kind === 'outage' ? outlets * ASSUMPTIONS.horizonDays : 0,
      limitOutletDays(ranked, pathBelow(ranked.facts.points, lead.hopTo)),
    ),
    isTold: findings.some((finding) => !isWithinFloor(finding)),
  };
}

/** The finding that the others of its event follow; the one nearest the root when that has closed. */
export function leadOf(findings: readonly Finding[]): Finding {
  return findings.find(({ explainedBy }) => explainedBy === null) ?? findings[0]!;
}

function troubleCondition({ facts, assessment }: RankedSite, trouble: SiteTrouble): Condition {
  const { kind, pointIds, sinceMs } = trouble;
  const points = facts.points.filter(({ pointId }) => pointIds.includes(pointId));
  const outlets = points.reduce((total, point) => total + point.outlets, 0);
  const parts = kind === 'absent' ? assessment.points : [];
  return {
    causeKey: kind === 'absent' ? SILENCE_KEY : `${pointIds[0]} ${kind}`,
    hopTo: null,
    alsoPossible: [],
    findings: [],
    trouble,
    pointIds,
    onsetMs: sinceMs,
    onsetLowMs: sinceMs,
    onsetHighMs: sinceMs,
    detectedMs: null,
    side: null,
    timeLeft: 'unseen',
    severity: severityOf('unseen', outlets),
    outlets: Math.round(outlets),
    outletDays: parts
      .filter(({ pointId }) => pointIds.includes(pointId))
      .reduce((total, part) => total + Math.max(0, part.outletDays - part.outlets * part.limitDays), 0),
    isTold: true,
  };
}

/** What limits cost at outlets of these points, where they and not a point further up break them. */
function limitOutletDays({ assessment }: RankedSite, pointIds: ReadonlySet<number>): number {
  return assessment.points
    .filter(({ pointId, limitPointId }) => pointIds.has(pointId) && pointIds.has(limitPointId))
    .reduce((total, { outlets, limitDays }) => total + outlets * limitDays, 0);
}

function pathBelow(points: readonly PointFacts[], pointId: number): Set<number> {
  const within = new Set([pointId]);
  for (const { point } of treeOrder(points)) {
    if (point.fedBy !== null && within.has(point.fedBy)) within.add(point.pointId);
  }
  return within;
}
