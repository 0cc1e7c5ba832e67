import type { NewPointInput, PointSetup } from '../../../../api/schemas/siteSetup.ts';
import type { PointKind } from '../../../../ingest/store/schema.ts';
import { numberOrNull } from './siteDraft.ts';

/** The point form as it is typed. */
export interface PointDraft {
  name: string;
  label: string;
  kind: PointKind;
  fedBy: string;
  hopNote: string;
  outlets: string;
  intervalMinutes: string;
  correctsItself: boolean;
  correctionWindowDb: string;
}

/** A point to add below `fedBy`; the first of a site is its handoff. */
export function emptyPoint(fedBy: PointSetup | null): PointDraft {
  return {
    name: fedBy === null ? 'handoff' : '',
    label: '',
    kind: fedBy === null ? 'handoff' : 'outlet',
    fedBy: fedBy === null ? '' : String(fedBy.pointId),
    hopNote: '',
    outlets: '0',
    intervalMinutes: '15',
    correctsItself: false,
    correctionWindowDb: '',
  };
}

export function pointDraft(point: PointSetup): PointDraft {
  return {
    name: point.name,
    label: point.label,
    kind: point.kind,
    fedBy: point.fedBy === null ? '' : String(point.fedBy),
    hopNote: point.hopNote,
    outlets: String(point.outlets),
    intervalMinutes: String(Number((point.intervalS / 60).toFixed(2))),
    correctsItself: point.correctsItself,
    correctionWindowDb: point.correctionWindowDb === null ? '' : String(point.correctionWindowDb),
  };
}

export function pointInput(draft: PointDraft): NewPointInput {
  return {
    name: draft.name,
    label: draft.label,
    kind: draft.kind,
    fedBy: numberOrNull(draft.fedBy),
    hopNote: draft.hopNote,
    outlets: numberOrNull(draft.outlets) ?? 0,
    intervalS: Math.round((numberOrNull(draft.intervalMinutes) ?? 15) * 60),
    correctsItself: draft.correctsItself,
    correctionWindowDb: draft.correctsItself ? numberOrNull(draft.correctionWindowDb) : null,
  };
}

/** Points with how far each lies below the root, a parent before its children. */
export function inTreeOrder(points: readonly PointSetup[]): { point: PointSetup; depth: number }[] {
  const known = new Set(points.map((point) => point.pointId));
  const below = (parent: number | null, depth: number): { point: PointSetup; depth: number }[] =>
    points
      .filter((point) => (point.fedBy !== null && known.has(point.fedBy) ? point.fedBy : null) === parent)
      .flatMap((point) => [{ point, depth }, ...below(point.pointId, depth + 1)]);
  return below(null, 0);
}

/** Whom `point` may be fed by: anything but itself and what hangs below it. */
export function possibleFeeders(points: readonly PointSetup[], point: PointSetup | null): PointSetup[] {
  if (point === null) return [...points];
  const isBelow = (candidate: PointSetup): boolean => {
    if (candidate.pointId === point.pointId) return true;
    const feeder = points.find((other) => other.pointId === candidate.fedBy);
    return feeder !== undefined && isBelow(feeder);
  };
  return points.filter((candidate) => !isBelow(candidate));
}
