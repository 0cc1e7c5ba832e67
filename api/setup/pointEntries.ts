import { NewPointSchema } from '../schemas/siteSetup.ts';
import { type PointFields, type PointFieldsWithId, windowFaults } from './points.ts';
import { type TreeNode, treeFaults } from './pointTree.ts';

/** A point as a file or a ready shape gives it: feeders by name, and only the fields that are given. */
export interface PointEntry extends Partial<Omit<PointFields, 'name' | 'fedBy'>> {
  readonly name: string;
  /** Name of the point upstream; null for the handoff. */
  readonly fedBy?: string | null;
}

export interface EntryFault {
  /** Which entry, counted from 0. */
  readonly index: number;
  readonly field: keyof PointFields;
  readonly problem: string;
}

/** What an entry makes of its point; `before` is null for a point that isn't there yet. */
export interface ResolvedEntry {
  readonly before: PointFieldsWithId | null;
  readonly after: Omit<PointFields, 'fedBy'>;
  readonly fedBy: string | null;
}

export interface ResolvedEntries {
  /** A feeder stands before those that it feeds; empty where something is wrong. */
  readonly points: readonly ResolvedEntry[];
  readonly faults: readonly EntryFault[];
}

const SHOWN_NAMES = 6;
const NEW_POINT = NewPointSchema.omit({ name: true, kind: true }).parse({});

/**
 * Entries merged into the points that a site has: points known by name are changed in what the entry gives, others are new.
 * Says what would leave the tree unsound, entry by entry.
 */
export function resolveEntries(
  entries: readonly PointEntry[],
  known: readonly PointFieldsWithId[],
): ResolvedEntries {
  const byName = new Map(known.map((point) => [point.name, point]));
  const nameOf = new Map(known.map((point) => [point.pointId, point.name]));
  const faults: EntryFault[] = [];
  const seen = new Set<string>();
  const resolved = entries.map((entry, index): ResolvedEntry => {
    const before = byName.get(entry.name) ?? null;
    const fault = (field: keyof PointFields, problem: string) => faults.push({ index, field, problem });
    if (seen.has(entry.name)) fault('name', `"${entry.name}" stands here twice: keep one`);
    seen.add(entry.name);
    if (before === null && entry.kind === undefined)
      fault('kind', 'is missing: give the kind of the point, such as "outlet"');
    const { fedBy, ...given } = entry;
    const present = Object.fromEntries(Object.entries(given).filter(([, value]) => value !== undefined));
    const after = { kind: 'outlet' as const, ...NEW_POINT, ...before, ...present, name: entry.name };
    for (const [, problem] of Object.entries(windowFaults(after))) fault('correctionWindowDb', problem);
    const feederBefore = before?.fedBy == null ? null : (nameOf.get(before.fedBy) ?? null);
    return { before, after: withoutKeys(after), fedBy: fedBy === undefined ? feederBefore : fedBy };
  });
  if (faults.length === 0) faults.push(...unsound(resolved, known));
  return { points: faults.length === 0 ? feedersFirst(resolved) : [], faults };
}

function withoutKeys(point: Omit<PointFields, 'fedBy'>): Omit<PointFields, 'fedBy'> {
  const { name, label, kind, outlets, intervalS, correctsItself, correctionWindowDb, hopNote } = point;
  return { name, label, kind, outlets, intervalS, correctsItself, correctionWindowDb, hopNote };
}

/** New points get numbers below 0, so that the tree can be looked at before they are there. */
function unsound(resolved: readonly ResolvedEntry[], known: readonly PointFieldsWithId[]): EntryFault[] {
  const ids = new Map(known.map((point) => [point.name, point.pointId]));
  resolved.forEach(({ before, after }, i) => {
    if (before === null) ids.set(after.name, -1 - i);
  });
  const changed = new Set(resolved.map(({ after }) => after.name));
  const nodes = new Map<string, TreeNode>(
    known.filter(({ name }) => !changed.has(name)).map((point) => [point.name, point]),
  );
  const faults: EntryFault[] = [];
  resolved.forEach(({ after, fedBy }, index) => {
    if (after.kind === 'handoff' && fedBy !== null) {
      faults.push({ index, field: 'fedBy', problem: 'the handoff is fed by the provider: leave it empty' });
    } else if (fedBy !== null && !ids.has(fedBy)) {
      faults.push({
        index,
        field: 'fedBy',
        problem: `there is no point "${fedBy}" at the site: ${namesHint(ids)}`,
      });
    }
    const feeder = fedBy === null ? null : (ids.get(fedBy) ?? null);
    nodes.set(after.name, { pointId: ids.get(after.name)!, kind: after.kind, fedBy: feeder });
  });
  if (faults.length > 0) return faults;

  return resolved.flatMap(({ after }, index) => {
    const others = [...nodes].filter(([name]) => name !== after.name).map(([, node]) => node);
    return Object.entries(treeFaults(nodes.get(after.name)!, others)).map(([field, problem]) => ({
      index,
      field: field as keyof PointFields,
      problem,
    }));
  });
}

function namesHint(ids: ReadonlyMap<string, number>): string {
  const names = [...ids.keys()].slice(0, SHOWN_NAMES).join(', ');
  return names === ''
    ? 'give the handoff first'
    : `name one of ${names}${ids.size > SHOWN_NAMES ? ' …' : ''}`;
}

function feedersFirst(resolved: readonly ResolvedEntry[]): ResolvedEntry[] {
  const byName = new Map(resolved.map((entry) => [entry.after.name, entry]));
  const ordered = new Set<ResolvedEntry>();
  const place = (entry: ResolvedEntry): void => {
    if (ordered.has(entry)) return;
    const feeder = entry.fedBy === null ? undefined : byName.get(entry.fedBy);
    if (feeder !== undefined) place(feeder);
    ordered.add(entry);
  };
  for (const entry of resolved) place(entry);
  return [...ordered];
}
