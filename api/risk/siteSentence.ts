import { lastingClauses } from '../diagnosis/findingSentence.ts';
import type { PlacedFinding } from '../diagnosis/placedFinding.ts';
import { count, figure, momentIn, size } from '../diagnosis/words.ts';
import type { SiteTrouble } from '../punctuality/siteTroubles.ts';
import type { Verdict } from '../schemas/common.ts';
import { ASSUMPTIONS } from './assumptions.ts';
import { isBroken, type NearestLimit } from './nearestLimit.ts';
import { outletsBelow, type PointFacts, type SiteFacts } from './siteFacts.ts';

const QUANTITY_WORDS = { level: 'Level', mer: 'MER', cnr: 'CNR' } as const;
const SIDE_WORDS = {
  provider: 'provider’s side',
  building: 'building side',
  unsure: 'side not sure',
} as const;

/** What a verdict rests on; the sentence is written from it. */
export interface Grounds {
  readonly verdict: Verdict;
  readonly outletDays: number;
  /** The finding that explains the rank best; null when none does. */
  readonly lead: PlacedFinding | null;
  /** Service limit broken now, or nearest to it, at the point that weighs most. */
  readonly nearest: NearestLimit | null;
  readonly silent: readonly PointFacts[];
  /** What is wrong with the coming of its sweeps, the gravest; null when they come as they should. */
  readonly trouble: SiteTrouble | null;
  /** Nothing worse stands, so the site is watched for that. */
  readonly isTroubleLead: boolean;
}

/**
 * The one sentence that explains a site's rank. It is kept beside the rank, so it names dates in the site's
 * zone and never an age.
 */
export function siteSentence(facts: SiteFacts, grounds: Grounds, nowMs: number): string {
  const clauses = [...clausesFor(facts, grounds, nowMs), ...maintenance(facts, nowMs)];
  return `${clauses.join('; ')}.`;
}

function maintenance({ maintenance: window, timeZone }: SiteFacts, nowMs: number): string[] {
  return window === null
    ? []
    : [`in maintenance until ${momentIn(timeZone, window.toMs, nowMs)} (${window.reason})`];
}

function clausesFor(facts: SiteFacts, grounds: Grounds, nowMs: number): string[] {
  switch (grounds.verdict) {
    case 'act':
    case 'watch':
      return trouble(facts, grounds, nowMs);
    case 'silent':
      return silence(facts, grounds);
    case 'no-baseline':
      return noBaseline(facts, nowMs);
    case 'steady':
      return [...steady(facts, nowMs), ...(grounds.trouble?.clauses.map(lowerFirst) ?? [])];
  }
}

function trouble(facts: SiteFacts, grounds: Grounds, nowMs: number): string[] {
  const { lead, nearest } = grounds;
  const broken = nearest !== null && isBroken(nearest);
  if (grounds.isTroubleLead) return [...grounds.trouble!.clauses];
  if (lead === null) {
    return nearest === null ? [] : [marginClause(nearest), atStake(facts, nearest.point.pointId)];
  }

  const { kind, pointId, side } = lead.finding;
  const latestMs = facts.points.find((point) => point.pointId === pointId)?.lastAtMs ?? nowMs;
  const told = lastingClauses(lead, { timeZone: facts.timeZone, nowMs, latestMs });
  const also = facts.findings.filter(
    (placed) => placed !== lead && placed.finding.explainedBy === null,
  ).length;
  const saysLoss = kind === 'outage' || kind === 'channel-lost';
  return [
    ...(side === 'building' ? [`${told[0]} (${SIDE_WORDS.building})`, ...told.slice(1)] : told),
    ...(broken && !saysLoss ? [lowerFirst(marginClause(nearest))] : []),
    atStake(facts, pointId),
    ...(also > 0 ? [`${count(also, 'other finding')} open`] : []),
  ];
}

/** "MER of channel 95 at floor 3 is 1.8 dB below its limit of 33 dB". */
function marginClause(nearest: NearestLimit): string {
  const { margin, channel, point } = nearest;
  if (margin === null) return `Channel ${channel} is not found at ${point.title}`;
  const what = `${QUANTITY_WORDS[margin.quantity]} of channel ${channel} at ${point.title}`;
  if (margin.assumed === true) {
    const fallen = ASSUMPTIONS.outletSpareDb - margin.marginDb;
    return `${what} is ${size(fallen)} dB below baseline, of ${ASSUMPTIONS.outletSpareDb} dB that its outlets are taken to bear`;
  }
  const side = margin.marginDb < 0 === (margin.bound === 'min') ? 'below' : 'above';
  const limit = `${figure(margin.limit)} ${margin.unit}`;
  return `${what} is ${size(margin.marginDb)} dB ${side} its limit of ${limit}`;
}

function atStake(facts: SiteFacts, pointId: number): string {
  return `${count(outletsBelow(facts.points, pointId), 'outlet')} at stake`;
}

function silence(facts: SiteFacts, { silent, trouble }: Grounds): string[] {
  const outlets = silent.reduce((total, point) => total + point.outlets, 0);
  return [
    ...trouble!.clauses,
    `${count(Math.round(outlets), 'outlet')} unseen`,
    ...(facts.findings.length > 0 ? [`${count(facts.findings.length, 'finding')} open`] : []),
  ];
}

function noBaseline(facts: SiteFacts, nowMs: number): string[] {
  const measured = facts.points.filter((point) => point.lastAtMs !== null);
  if (measured.length === 0) return ['No sweep has come in yet, so nothing can be said about the service'];
  return [
    `No accepted baseline at ${count(facts.points.length, 'point')}, so a change cannot be told from the normal`,
    lastSweep(facts, nowMs),
  ];
}

function steady(facts: SiteFacts, nowMs: number): string[] {
  const compared = facts.points.filter(
    (point) => point.hasBaseline && (point.levelDevDb !== null || point.tiltDevDb !== null),
  );
  if (compared.length === 0) return ['Baseline accepted, no sweep to hold against it yet'];
  const deviations = compared.map(largestDeviation);
  const within = Math.ceil(Math.max(...deviations) * 10 - 1e-9) / 10;
  const without = facts.points.length - compared.length;
  return [
    `Level and tilt within ${size(Math.max(0.1, within))} dB of baseline at ${count(compared.length, 'point')}`,
    ...(without > 0 ? [`${count(without, 'point')} not compared`] : []),
    lastSweep(facts, nowMs),
  ];
}

function largestDeviation(point: PointFacts): number {
  return Math.max(Math.abs(point.levelDevDb ?? 0), Math.abs(point.tiltDevDb ?? 0));
}

function lastSweep(facts: SiteFacts, nowMs: number): string {
  const latest = Math.max(...facts.points.map((point) => point.lastAtMs ?? Number.NEGATIVE_INFINITY));
  return Number.isFinite(latest) ? `last sweep ${momentIn(facts.timeZone, latest, nowMs)}` : 'no sweep yet';
}

function lowerFirst(text: string): string {
  return /^[A-Z][a-z]/.test(text) ? text[0]!.toLowerCase() + text.slice(1) : text;
}
