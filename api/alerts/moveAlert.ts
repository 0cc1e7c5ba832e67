import type { AlertChangeKind, AlertRow, NewAlert, Severity } from '../../ingest/store/schema.ts';
import type { Side } from '../schemas/common.ts';
import { CALMER_AFTER_MS, offDelayMs } from './delays.ts';
import { mayAct, nextState } from './lifeCycle.ts';
import { isGraver } from './severity.ts';

/** Who changes an alert when no person does. */
export const OURSELVES = 'Levelkeep';

/** What shows now of an alert's cause. */
export interface Seen {
  readonly causeKey: string;
  readonly hopTo: number | null;
  readonly severity: Severity;
  readonly side: Side | null;
  readonly onsetMs: number;
  readonly onsetLowMs: number;
  readonly onsetHighMs: number;
  /** Days until a limit is reached, quantiles; zeros when it is passed, null when none lies ahead. */
  readonly limitDays: { readonly p10: number; readonly p50: number; readonly p90: number } | null;
  readonly outlets: number;
  readonly sites: number;
  /** Expected outlet-days. */
  readonly priority: number;
  readonly title: string;
  readonly sentence: string;
  readonly cause: string | null;
  readonly doFirst: string;
}

/** Why an alert isn't told by itself while this lasts. */
export interface Hold {
  readonly kind: Extract<AlertChangeKind, 'suppressed' | 'joined'>;
  readonly why: string;
  readonly partOf: number | null;
  /** When it ends by itself; null when that isn't known. */
  readonly untilMs: number | null;
}

export interface Change {
  readonly kind: AlertChangeKind;
  readonly why: string;
  readonly before: Record<string, unknown> | null;
  readonly after: Record<string, unknown> | null;
}

type Changeable = { -readonly [K in keyof AlertRow]: AlertRow[K] };

/** An alert on its way from one look to the next: its row, what has changed, and when it has to be looked at again. */
export interface Move {
  readonly row: Changeable;
  readonly changes: Change[];
  dueMs: number | null;
}

/** What is known beside what shows. */
export interface Moment {
  readonly nowMs: number;
  /** From when on a condition that shows may be told; in the past for one that has stood long enough. */
  readonly tellFromMs: number;
  /** Since when it no longer shows. */
  readonly goneMs: number;
  readonly hold: Hold | null;
}

export function beginMove(row: AlertRow): Move {
  return { row: { ...row }, changes: [], dueMs: null };
}

/** Brings an alert up to date with what shows of its cause; null: nothing does any more. */
export function moveAlert(row: AlertRow, seen: Seen | null, moment: Moment): Move {
  const move = beginMove(row);
  if (seen === null) fade(move, moment);
  else show(move, seen, moment);
  endShelf(move, moment.nowMs);
  applyHold(move, moment.hold, moment.nowMs);
  return move;
}

/** A new alert for what shows; held back it is on record and not told. */
export function newAlert(
  seen: Seen,
  place: Pick<NewAlert, 'kind' | 'site_id' | 'provider_id'>,
  { nowMs, hold }: Pick<Moment, 'nowMs' | 'hold'>,
): { readonly row: NewAlert; readonly change: Change } {
  const state = hold === null ? 'active-unacknowledged' : 'suppressed';
  return {
    row: {
      ...place,
      ...figuresOf(seen),
      severity: seen.severity,
      state,
      raised_at: new Date(nowMs),
      returned_at: null,
      closed_at: null,
      shelved_until: null,
      acknowledged_by: null,
      acknowledged_at: null,
      gone_at: null,
      calmer_since: null,
      part_of: hold?.partOf ?? null,
    },
    change: {
      kind: hold?.kind ?? 'raised',
      why: hold?.why ?? seen.title,
      before: null,
      after: { state, severity: seen.severity },
    },
  };
}

/** Takes an alert to another state, with what that brings along; `why` is for the record. */
export function changeState(move: Move, state: AlertRow['state'], kind: AlertChangeKind, why: string): void {
  record(move, kind, why, { state: move.row.state }, { state });
  move.row.state = state;
}

/** Whether the condition shows; one that has just gone, and hasn't yet been told to be over, doesn't. */
export function stands({ returned_at, gone_at }: Pick<AlertRow, 'returned_at' | 'gone_at'>): boolean {
  return returned_at === null && gone_at === null;
}

/** Closes what has gone back to normal. */
export function closeWhenNormal(move: Move, nowMs: number, why: string): void {
  if (move.row.state !== 'normal' || move.row.closed_at !== null) return;
  move.row.returned_at ??= move.row.gone_at;
  move.row.closed_at = new Date(nowMs);
  record(move, 'closed', why, null, null);
}

export function record(
  move: Move,
  kind: AlertChangeKind,
  why: string,
  before: Change['before'],
  after: Change['after'],
): void {
  move.changes.push({ kind, why, before, after });
}

/** Holds an alert back, or lets go of it once nothing does any more. */
export function applyHold(move: Move, hold: Hold | null, nowMs: number): void {
  const { row } = move;
  if (hold !== null) {
    row.part_of = hold.partOf;
    if (row.state !== 'normal' && mayAct(row.state, 'suppress'))
      changeState(move, nextState(row.state, 'suppress', true), hold.kind, hold.why);
    if (hold.untilMs !== null) lookAgain(move, hold.untilMs);
    return;
  }
  if (row.state === 'suppressed') {
    const state = nextState(row.state, 'unsuppress', stands(row));
    changeState(move, state, 'unsuppressed', 'what held it back is over');
    closeWhenNormal(move, nowMs, 'it had returned to normal before');
  }
  if (row.state !== 'normal') row.part_of = null;
}

function show(move: Move, seen: Seen, { nowMs, tellFromMs, hold }: Moment): void {
  const { row } = move;
  const isBack = row.state === 'normal' || row.state === 'returned-unacknowledged';
  if (isBack && tellFromMs > nowMs) {
    lookAgain(move, tellFromMs);
    return;
  }
  Object.assign(row, figuresOf(seen, row));
  row.gone_at = null;
  row.returned_at = null;
  if (isBack) comeBack(move, seen, hold);
  else moveSeverity(move, seen.severity, nowMs);
}

function comeBack(move: Move, seen: Seen, hold: Hold | null): void {
  const { row } = move;
  row.severity = seen.severity;
  row.calmer_since = null;
  row.closed_at = null;
  row.acknowledged_at = null;
  row.acknowledged_by = null;
  if (hold === null) changeState(move, nextState(row.state, 'raise', true), 'back', seen.title);
  else changeState(move, nextState(row.state, 'suppress', true), hold.kind, hold.why);
}

function moveSeverity(move: Move, severity: Severity, nowMs: number): void {
  const { row } = move;
  if (severity === row.severity) {
    row.calmer_since = null;
    return;
  }
  const graver = isGraver(severity, row.severity);
  if (!graver) {
    row.calmer_since ??= new Date(nowMs);
    const lowerFromMs = row.calmer_since.getTime() + CALMER_AFTER_MS;
    if (nowMs < lowerFromMs) {
      lookAgain(move, lowerFromMs);
      return;
    }
  }
  row.calmer_since = null;
  const before = { severity: row.severity, state: row.state };
  if (graver && row.state === 'active-acknowledged') {
    row.state = nextState(row.state, 'escalate', true);
    row.acknowledged_at = null;
    row.acknowledged_by = null;
  }
  row.severity = severity;
  const why = graver ? 'less time is left, or more outlets are touched' : 'a lower severity has held for 6 h';
  record(move, 'severity', why, before, { severity, state: row.state });
}

function fade(move: Move, { nowMs, goneMs }: Moment): void {
  const { row } = move;
  if (row.state === 'normal' || row.returned_at !== null) return;
  row.gone_at ??= new Date(Math.min(goneMs, nowMs));
  const overFromMs = row.gone_at.getTime() + offDelayMs(row.severity);
  if (nowMs < overFromMs) {
    lookAgain(move, overFromMs);
    return;
  }
  row.returned_at = row.gone_at;
  if (!mayAct(row.state, 'return')) return;
  changeState(move, nextState(row.state, 'return', false), 'returned', 'it no longer shows');
  closeWhenNormal(move, nowMs, 'returned to normal and acknowledged');
}

function endShelf(move: Move, nowMs: number): void {
  const { row } = move;
  if (row.state !== 'shelved' || row.shelved_until === null) return;
  if (row.shelved_until.getTime() > nowMs) {
    lookAgain(move, row.shelved_until.getTime());
    return;
  }
  row.shelved_until = null;
  changeState(
    move,
    nextState('shelved', 'unshelve', stands(row)),
    'unshelved',
    'its time on the shelf is over',
  );
  closeWhenNormal(move, nowMs, 'it had returned to normal before');
}

function lookAgain(move: Move, atMs: number): void {
  move.dueMs = move.dueMs === null ? atMs : Math.min(move.dueMs, atMs);
}

function figuresOf(seen: Seen, known?: AlertRow) {
  return {
    cause_key: seen.causeKey,
    hop_to: seen.hopTo,
    title: seen.title,
    sentence: seen.sentence,
    side: seen.side,
    cause: seen.cause,
    do_first: seen.doFirst,
    onset_at: new Date(seen.onsetMs),
    onset_low_at: new Date(seen.onsetLowMs),
    onset_high_at: new Date(seen.onsetHighMs),
    limit_days_10: seen.limitDays?.p10 ?? null,
    limit_days_50: seen.limitDays?.p50 ?? null,
    limit_days_90: seen.limitDays?.p90 ?? null,
    outlets: Math.round(seen.outlets),
    sites: Math.max(seen.sites, known?.sites ?? 0),
    priority: seen.priority,
  };
}
