/** A test point and what feeds it. */
export interface TreePoint {
  readonly pointId: number;
  /** What a person calls the point. */
  readonly title: string;
  readonly fedBy: number | null;
}

/**
 * Points with each one after the point that feeds it, siblings in the order given, and how many steps each
 * lies below its root. A point whose feeder is missing counts as a root.
 */
export function treeOrder<P extends { readonly pointId: number; readonly fedBy: number | null }>(
  points: readonly P[],
): { readonly point: P; readonly depth: number }[] {
  const known = new Set(points.map((point) => point.pointId));
  const below = Map.groupBy(points, (point) =>
    point.fedBy !== null && known.has(point.fedBy) ? point.fedBy : null,
  );
  const ordered: { point: P; depth: number }[] = [];
  const visit = (parent: number | null, depth: number): void => {
    for (const point of below.get(parent) ?? []) {
      ordered.push({ point, depth });
      visit(point.pointId, depth + 1);
    }
  };
  visit(null, 0);
  return ordered;
}

/** Points upstream of `pointId`, nearest first. */
export function upstream<P extends { readonly pointId: number; readonly fedBy: number | null }>(
  pointId: number,
  byId: ReadonlyMap<number, P>,
): P[] {
  const found: P[] = [];
  let feeder = byId.get(pointId)?.fedBy ?? null;
  while (feeder !== null && found.length < byId.size) {
    const point = byId.get(feeder);
    if (point === undefined) break;
    found.push(point);
    feeder = point.fedBy;
  }
  return found;
}
