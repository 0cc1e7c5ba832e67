import type { Side } from '../schemas/common.ts';
import type { Finding } from '../trend/types.ts';
import { accountsFor } from './sameEvent.ts';
import { type TreePoint, treeOrder, upstream } from './tree.ts';

/** Where a change begins: `from` is null at the handoff, where the provider's side ends. */
export interface Hop {
  readonly from: string | null;
  readonly to: string;
}

export interface PlacedFinding {
  readonly pointId: number;
  readonly pointTitle: string;
  readonly finding: Finding;
  readonly side: Side;
  readonly hop: Hop;
  /** The point upstream at which the change that explains this one begins; null when it begins here. */
  readonly explainedBy: number | null;
}

/**
 * Says of every finding whose side it is on and in which hop it begins, judging from the handoff down.
 *
 * - Another instrument took over: nobody's, and no hop.
 * - At the handoff: the provider's.
 * - The nearest point upstream that could have noticed also moved: explained by what moved there.
 * - That point stood still: it begins in the hop between the two, on the building's side.
 * - No point upstream could have noticed (no baseline, or no sweep since the onset), or it moved by too little
 *   to get past gear here that corrects itself: not sure.
 *
 * A point without a readable upstream neighbour widens the hop to the next one that can be read.
 */
export function placeFindings(
  findingsByPoint: ReadonlyMap<number, readonly Finding[]>,
  tree: readonly TreePoint[],
): PlacedFinding[] {
  const byId = new Map(tree.map((point) => [point.pointId, point]));
  const placedAt = new Map<number, PlacedFinding[]>();

  for (const { point } of treeOrder(tree)) {
    const placed = (findingsByPoint.get(point.pointId) ?? []).map((finding) =>
      placeOne(point, finding, upstream(point.pointId, byId), placedAt),
    );
    placedAt.set(point.pointId, placed);
  }
  return [...placedAt.values()].flat();
}

function placeOne(
  point: TreePoint,
  finding: Finding,
  above: readonly TreePoint[],
  placedAt: ReadonlyMap<number, readonly PlacedFinding[]>,
): PlacedFinding {
  const here = { pointId: point.pointId, pointTitle: point.title, finding };
  if (finding.kind === 'instrument-change') {
    return { ...here, side: 'unsure', hop: { from: null, to: point.title }, explainedBy: null };
  }
  if (point.isHandoff) {
    return { ...here, side: 'provider', hop: { from: null, to: point.title }, explainedBy: null };
  }

  const witness = above.find((candidate) => couldNotice(candidate, finding));
  if (witness === undefined) {
    const from = above[0]?.title ?? null;
    return { ...here, side: 'unsure', hop: { from, to: point.title }, explainedBy: null };
  }

  const there = placedAt.get(witness.pointId) ?? [];
  const cause = there.find((placed) => accountsFor(placed.finding, finding, point));
  if (cause !== undefined) {
    return { ...here, side: cause.side, hop: cause.hop, explainedBy: cause.explainedBy ?? cause.pointId };
  }

  const hop = { from: witness.title, to: point.title };
  const side = moveShouldHaveBeenHidden(point, finding, there) ? 'unsure' : 'building';
  return { ...here, side, hop, explainedBy: null };
}

function couldNotice(point: TreePoint, finding: Finding): boolean {
  return point.hasBaseline && point.lastAtMs !== null && point.lastAtMs >= finding.onsetLowMs;
}

/** Gear here should have corrected what its feeder shows: either the gear fails or something else is wrong. */
function moveShouldHaveBeenHidden(
  point: TreePoint,
  finding: Finding,
  above: readonly PlacedFinding[],
): boolean {
  if (!point.correctsItself) return false;
  const asThough: TreePoint = { ...point, correctsItself: false };
  return above.some((placed) => accountsFor(placed.finding, finding, asThough));
}
