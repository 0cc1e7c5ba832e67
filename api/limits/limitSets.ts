import type { PointKind } from '../../ingest/store/schema.ts';
import type { LimitSet } from './limitSet.ts';
import { distributionInput } from './sets/distributionInput.ts';
import { fccAnalogue } from './sets/fccAnalogue.ts';
import { federalGuide } from './sets/federalGuide.ts';
import { iecOutlet } from './sets/iecOutlet.ts';
import { inBuildingLine } from './sets/inBuildingLine.ts';
import { scte40 } from './sets/scte40.ts';

/** Every set that ships with the program. */
export const LIMIT_SETS: readonly LimitSet[] = [
  distributionInput,
  inBuildingLine,
  scte40,
  fccAnalogue,
  federalGuide,
  iecOutlet,
];

/** Null when there is no set of that id. */
export function findLimitSet(id: string): LimitSet | null {
  return LIMIT_SETS.find((set) => set.id === id) ?? null;
}

/** The set that a kind of point takes when nobody chose another. */
export function defaultLimitSet(kind: PointKind): LimitSet {
  const set = LIMIT_SETS.find(({ defaultFor }) => defaultFor.includes(kind));
  if (set === undefined) throw new RangeError(`no limit set is the default for points of kind ${kind}`);
  return set;
}
