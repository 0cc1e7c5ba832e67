import type { Finding } from '../trend/types.ts';
import { type TreePoint, treeOrder } from './tree.ts';

/** A part between two points, by their titles: `from` is null at the handoff, where the provider's side ends. */
export interface Hop {
  readonly from: string | null;
  readonly to: string;
}

/** A finding with the names that a person gave to where it is. */
export interface PlacedFinding {
  readonly finding: Finding;
  readonly pointTitle: string;
  /** Where the event begins. */
  readonly hop: Hop;
  /** Other hops that explain what was seen almost as well. */
  readonly alsoPossible: readonly Hop[];
  /** Title of the point upstream whose finding explains this one; null when it begins here. */
  readonly causeTitle: string | null;
}

/** Names the places of findings, in tree order of the points that show them. */
export function placedFindings(findings: readonly Finding[], tree: readonly TreePoint[]): PlacedFinding[] {
  const place = new Map(treeOrder(tree).map(({ point }, i) => [point.pointId, i]));
  const byId = new Map(tree.map((point) => [point.pointId, point]));
  return findings
    .map((finding) => placedFinding(finding, byId))
    .toSorted((a, b) => (place.get(a.finding.pointId) ?? 0) - (place.get(b.finding.pointId) ?? 0));
}

function placedFinding(finding: Finding, byId: ReadonlyMap<number, TreePoint>): PlacedFinding {
  const titleOf = (pointId: number | null) =>
    pointId === null ? null : (byId.get(pointId)?.title ?? 'a point no longer there');
  return {
    finding,
    pointTitle: titleOf(finding.pointId)!,
    hop: { from: titleOf(finding.hopFrom), to: titleOf(finding.hopTo)! },
    alsoPossible: finding.alsoPossible.map((end) => ({
      from: titleOf(byId.get(end)?.fedBy ?? null),
      to: titleOf(end)!,
    })),
    causeTitle: titleOf(finding.explainedBy),
  };
}
