import type { PointKind } from '../../../ingest/store/schema.ts';
import type { Finding } from '../../trend/types.ts';
import type { CausePlace } from './cause.ts';

/** What the set-up says of a point and of the part that leads to it. */
export interface SetUpPoint {
  readonly pointId: number;
  readonly fedBy: number | null;
  readonly kind: PointKind;
  readonly hopNote: string;
  readonly correctsItself: boolean;
  /** Its sweeps carry the air temperature. */
  readonly ambientKnown: boolean;
}

/** The kind that says most of a hop which leads past several points. */
const TELLING: readonly PointKind[] = ['gear-output', 'amplifier'];

/**
 * The hop in which `finding` begins, as causes look at it; a hop that leads past points which can't be read takes in what
 * the set-up says of those. Null when its point is no longer set up.
 *
 * @param otherSites of the same provider that changed in the same way within hours
 */
export function causePlace(
  finding: Pick<Finding, 'hopFrom' | 'hopTo'>,
  points: readonly SetUpPoint[],
  otherSites: number,
): CausePlace | null {
  const byId = new Map(points.map((point) => [point.pointId, point]));
  const path = pathBetween(finding, byId);
  const end = path[0];
  if (end === undefined) return null;

  const kinds = path.map(({ kind }) => kind);
  return {
    endsAt: TELLING.find((kind) => kinds.includes(kind)) ?? end.kind,
    startsAt: (finding.hopFrom === null ? null : byId.get(finding.hopFrom)?.kind) ?? null,
    isHandoff: end.kind === 'handoff' && end.fedBy === null,
    hopNote: path
      .map(({ hopNote }) => hopNote.trim())
      .filter((note) => note !== '')
      .toReversed()
      .join('; '),
    correctsItself: path.some(({ correctsItself }) => correctsItself),
    ambientKnown: end.ambientKnown,
    otherSites,
  };
}

/** From the point that ends the hop up to the one below its start. */
function pathBetween(
  { hopFrom, hopTo }: Pick<Finding, 'hopFrom' | 'hopTo'>,
  byId: ReadonlyMap<number, SetUpPoint>,
): SetUpPoint[] {
  const path: SetUpPoint[] = [];
  let at: number | null = hopTo;
  while (at !== null && at !== hopFrom && path.length < byId.size) {
    const point = byId.get(at);
    if (point === undefined) break;
    path.push(point);
    at = point.fedBy;
  }
  return path;
}
