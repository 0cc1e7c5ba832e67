import type { SitePoint } from './types.ts';

/** The point and all that it feeds, as far as `through` lets the way go on below a point. */
export function subtree(
  site: readonly SitePoint[],
  pointId: number,
  through: (point: SitePoint) => boolean = () => true,
): Set<number> {
  const found = new Set([pointId]);
  for (let grown = true; grown; ) {
    grown = false;
    for (const point of site) {
      if (point.fedBy === null || found.has(point.pointId) || !found.has(point.fedBy) || !through(point))
        continue;
      found.add(point.pointId);
      grown = true;
    }
  }
  return found;
}

/** Points upstream of `pointId`, nearest first. */
export function upstreamOf(site: readonly SitePoint[], pointId: number): SitePoint[] {
  const byId = new Map(site.map((point) => [point.pointId, point]));
  const found: SitePoint[] = [];
  let feeder = byId.get(pointId)?.fedBy ?? null;
  while (feeder !== null && found.length < site.length) {
    const point = byId.get(feeder);
    if (point === undefined) break;
    found.push(point);
    feeder = point.fedBy;
  }
  return found;
}

/**
 * The point from which a level reaches this one unaltered by gear that corrects itself: the nearest such gear's output at or above
 * it, otherwise the root of the tree.
 */
export function stretchRoot(site: readonly SitePoint[], pointId: number): number {
  const point = site.find((candidate) => candidate.pointId === pointId);
  if (point === undefined || point.correctsItself) return pointId;
  const above = upstreamOf(site, pointId);
  return (above.find((candidate) => candidate.correctsItself) ?? above[above.length - 1] ?? point).pointId;
}
