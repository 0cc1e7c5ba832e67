import type { PlacedFinding } from '../diagnosis/placedFinding.ts';
import { treeOrder } from '../diagnosis/tree.ts';
import type { SiteTrouble } from '../punctuality/siteTroubles.ts';
import type { ChannelRisk, PointRisk } from './outletDays.ts';
import type { ServiceMargin } from './probabilityOutside.ts';

/** A margin that can be told to a person. */
export interface NamedMargin extends ServiceMargin {
  readonly quantity: 'level' | 'mer' | 'cnr';
  readonly bound: 'min' | 'max';
  readonly limit: number;
  readonly unit: 'dBmV' | 'dB';
  /** The limit is what outlets without a reading of their own are assumed to bear. */
  readonly assumed?: boolean;
}

export interface NamedChannel extends ChannelRisk {
  /** RF channel by the plan. */
  readonly channel: string;
  readonly margins: readonly NamedMargin[];
}

/** One point as the assessment sees it, from its newest sweeps. */
export interface PointFacts extends PointRisk {
  readonly title: string;
  readonly isHandoff: boolean;
  readonly channels: readonly NamedChannel[];
  /** Newest deviations from baseline, dB; null where there is nothing to compare. */
  readonly levelDevDb: number | null;
  readonly tiltDevDb: number | null;
}

/** One site as the assessment sees it. */
export interface SiteFacts {
  readonly timeZone: string;
  readonly points: readonly PointFacts[];
  /** Open findings of the site, placed. */
  readonly findings: readonly PlacedFinding[];
  /** What is wrong with the coming of its sweeps, the gravest first. */
  readonly troubles: readonly SiteTrouble[];
  /** The maintenance window in progress; null when there is none. */
  readonly maintenance: { readonly toMs: number; readonly reason: string } | null;
}

/**
 * Gives outlets that the site has and no point claims to the last points of the tree, in equal parts, so that a
 * building whose points were set up without outlet counts still weighs what it serves.
 */
export function spreadOutlets<
  P extends { readonly pointId: number; readonly fedBy: number | null; readonly outlets: number },
>(points: readonly P[], siteOutlets: number): P[] {
  const unclaimed = siteOutlets - points.reduce((total, point) => total + point.outlets, 0);
  if (unclaimed <= 0) return [...points];
  const feeding = new Set(points.map((point) => point.fedBy));
  const last = points.filter((point) => !feeding.has(point.pointId));
  return points.map((point) =>
    feeding.has(point.pointId) ? point : { ...point, outlets: point.outlets + unclaimed / last.length },
  );
}

/** Outlets that hang on the point or anywhere below it. */
export function outletsBelow(points: readonly PointFacts[], pointId: number): number {
  const ordered = treeOrder(points).map(({ point }) => point);
  const within = new Set([pointId]);
  for (const point of ordered) {
    if (point.fedBy !== null && within.has(point.fedBy)) within.add(point.pointId);
  }
  const total = ordered
    .filter((point) => within.has(point.pointId))
    .reduce((sum, point) => sum + point.outlets, 0);
  return Math.round(total);
}
