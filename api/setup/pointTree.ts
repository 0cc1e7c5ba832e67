import type { PointKind } from '../../ingest/store/schema.ts';

/** A point as far as the shape of the tree goes. `pointId` is null for one that is about to be added. */
export interface TreeNode {
  readonly pointId: number | null;
  readonly kind: PointKind;
  readonly fedBy: number | null;
}

/**
 * What is wrong with `node` among the `others` of its site, by field; empty when the tree stays sound: the one
 * handoff is the root, and every other point is fed, step by step, from it.
 */
export function treeFaults(node: TreeNode, others: readonly TreeNode[]): Record<string, string> {
  const handoff = others.find(({ kind }) => kind === 'handoff');
  if (node.kind === 'handoff') {
    if (handoff) return { kind: 'the site has its handoff already: choose another kind' };
    return node.fedBy === null ? {} : { fedBy: 'the handoff is the root of the tree: leave it null' };
  }
  if (!handoff) {
    return { kind: 'the site has no handoff without this: add the handoff first, then what it feeds' };
  }
  if (node.fedBy === null) return { fedBy: 'is missing: name the point that feeds this one' };
  return feedFaults(node, node.fedBy, others);
}

/** Points from the handoff down, each before those that it feeds. */
export function inTreeOrder<T extends { pointId: number; fedBy: number | null }>(points: readonly T[]): T[] {
  const below = (feeder: number | null): T[] =>
    points.filter(({ fedBy }) => fedBy === feeder).flatMap((point) => [point, ...below(point.pointId)]);
  return below(null);
}

function feedFaults(node: TreeNode, fedBy: number, others: readonly TreeNode[]): Record<string, string> {
  const byId = new Map(others.map((other) => [other.pointId, other]));
  if (fedBy === node.pointId) return { fedBy: 'a point cannot feed itself: name the point upstream' };
  if (!byId.has(fedBy)) return { fedBy: `the site has no point ${fedBy}: name one of its points` };

  for (let upstream: number | null = fedBy; upstream !== null; upstream = byId.get(upstream)?.fedBy ?? null) {
    if (upstream === node.pointId) {
      return { fedBy: 'that point is fed by this one: name a point that is not below it' };
    }
  }
  return {};
}
