import type { Severity } from '../../ingest/store/schema.ts';
import type { ChangeFact } from './alertFact.ts';

/** Where an alert stands at some moment, as its history tells. */
export interface Standing {
  /** The change with which the alert last became active: its present episode, or the last one. Null before the first. */
  readonly openingId: number | null;
  readonly active: boolean;
  readonly acknowledged: boolean;
  readonly acknowledgedBy: string | null;
  /** Shelved, suppressed by design or out of service: nobody is to be told. */
  readonly held: boolean;
  readonly severity: Severity | null;
}

const BEFORE: Standing = {
  openingId: null,
  active: false,
  acknowledged: false,
  acknowledgedBy: null,
  held: false,
  severity: null,
};

/** The standing after each change, in the order of the changes. */
export function standings(changes: readonly ChangeFact[]): Standing[] {
  let standing = BEFORE;
  return changes.map((change) => {
    standing = after(standing, change);
    return standing;
  });
}

/** The standing at `atMs`. */
export function standingAt(changes: readonly ChangeFact[], atMs: number): Standing {
  return standings(changes.filter((change) => change.atMs <= atMs)).at(-1) ?? BEFORE;
}

function after(before: Standing, change: ChangeFact): Standing {
  const moved = { ...before, ...moveOf(change) };
  const severity = change.severity ?? before.severity;
  const stated = change.state === null ? {} : standingOfState(change.state);
  const next = { ...moved, ...stated, severity };
  // Also what was held back when it came: its episode opens once that ends.
  return next.active && !before.active ? { ...next, openingId: change.changeId } : next;
}

function moveOf({ kind, byWhom }: ChangeFact): Partial<Standing> {
  switch (kind) {
    case 'raised':
    case 'back':
      return { active: true, acknowledged: false, acknowledgedBy: null };
    case 'acknowledged':
      return { acknowledged: true, acknowledgedBy: byWhom };
    case 'returned':
    case 'closed':
      return { active: false };
    case 'shelved':
    case 'suppressed':
    case 'out-of-service':
      return { held: true };
    case 'unshelved':
    case 'unsuppressed':
    case 'in-service':
      return { held: false };
    default:
      return {};
  }
}

/** A state that the history states outright says more than the kind of change. */
function standingOfState(state: string): Partial<Standing> {
  switch (state) {
    case 'active-unacknowledged':
      return { active: true, acknowledged: false, held: false };
    case 'active-acknowledged':
      return { active: true, acknowledged: true, held: false };
    case 'returned-unacknowledged':
    case 'normal':
      return { active: false };
    case 'shelved':
    case 'suppressed':
    case 'out-of-service':
      return { held: true };
    default:
      return {};
  }
}
