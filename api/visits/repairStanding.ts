import { median } from '../../ingest/signal/median.ts';
import type { VisitOutcome } from '../../ingest/store/schema.ts';
import { PRACTICAL_FLOOR_DB } from '../diagnosis/practicalFloor.ts';

const HOUR_MS = 3_600_000;
/** Readings have to hold for this long before a new normal is proposed, and to be there for half of its hours. Common practice, no source. */
const STEADY_HOURS = 24;
/** After this long of readings with the finding still open, the repair has not helped. Common practice, no source. */
const PATIENCE_HOURS = 72;

/** What the readings say of a reported repair. */
export const REPAIR_STATES = [
  'confirmed',
  'new-baseline',
  'normal-changed',
  'still-there',
  'waiting',
  'not-asked',
] as const;
export type RepairState = (typeof REPAIR_STATES)[number];

/** An hour's medians against the baseline in force, dB. */
export interface HourAt {
  readonly hourMs: number;
  readonly levelDevDb: number | null;
  readonly tiltDevDb: number | null;
}

export interface RepairFacts {
  readonly outcome: VisitOutcome;
  readonly beganMs: number;
  readonly doneMs: number;
  /** Findings behind the task; `closedBy` is the engine's own word, such as "baseline 3". */
  readonly findings: readonly { readonly closedMs: number | null; readonly closedBy: string | null }[];
  /** Hours at the point in order of time, from a day before the work on. */
  readonly hours: readonly HourAt[];
}

export interface RepairStanding {
  readonly state: RepairState;
  /** When the engine closed the last finding. */
  readonly atMs: number | null;
  /** Hours with readings since the work was done. */
  readonly hoursRead: number;
  /** Sweeps to make a new baseline of, where one is proposed. */
  readonly window: { readonly fromMs: number; readonly toMs: number } | null;
}

/**
 * Whether fresh sweeps bear a repair out. Only the engine's closing of every finding after the work began confirms it. A deviation
 * that stays, but at another and steady value, is a new normal: a new baseline is proposed, and a person decides.
 */
export function repairStanding(facts: RepairFacts): RepairStanding {
  const { outcome, beganMs, doneMs, findings, hours } = facts;
  const after = hours.filter(({ hourMs }) => hourMs >= doneMs);
  const standing = { atMs: null, hoursRead: after.length, window: null };
  if (outcome !== 'repaired') return { ...standing, state: 'not-asked' };

  const closed = findings.flatMap(({ closedMs }) => closedMs ?? []);
  const lastMs = Math.max(...closed);
  if (findings.length > 0 && closed.length === findings.length && lastMs >= beganMs) {
    const byBaseline = findings.some(({ closedBy }) => closedBy?.startsWith('baseline'));
    return { ...standing, state: byBaseline ? 'new-baseline' : 'confirmed', atMs: lastMs };
  }
  if (after.length === 0) return { ...standing, state: 'waiting' };

  const toMs = after.at(-1)!.hourMs + HOUR_MS;
  const fromMs = after[0]!.hourMs;
  const before = hours.filter(({ hourMs }) => hourMs + HOUR_MS <= beganMs);
  if (isLongEnough(after, toMs - fromMs) && isSteady(after) && hasMoved(before, after)) {
    return { ...standing, state: 'normal-changed', window: { fromMs, toMs } };
  }
  const state = toMs - doneMs >= PATIENCE_HOURS * HOUR_MS ? 'still-there' : 'waiting';
  return { ...standing, state };
}

function isLongEnough(after: readonly HourAt[], spanMs: number): boolean {
  return spanMs >= STEADY_HOURS * HOUR_MS && after.length >= STEADY_HOURS / 2;
}

/** Level and tilt of the first and of the second half are alike. */
function isSteady(after: readonly HourAt[]): boolean {
  const half = Math.floor(after.length / 2);
  return !hasMoved(after.slice(0, half), after.slice(half));
}

function hasMoved(a: readonly HourAt[], b: readonly HourAt[]): boolean {
  return (['levelDevDb', 'tiltDevDb'] as const).some((feature) => {
    const [first, second] = [median(a.map((hour) => hour[feature])), median(b.map((hour) => hour[feature]))];
    return first !== null && second !== null && Math.abs(second - first) > PRACTICAL_FLOOR_DB;
  });
}
