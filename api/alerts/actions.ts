import type { Db } from '../../ingest/store/database.ts';
import { inTransaction } from '../../ingest/store/inTransaction.ts';
import type { AlertChangeKind } from '../../ingest/store/schema.ts';
import { InvalidInput, NotFound } from '../errors.ts';
import { writeMove } from './alertRows.ts';
import { nextState } from './lifeCycle.ts';
import { beginMove, changeState, closeWhenNormal, type Move, record, stands } from './moveAlert.ts';

/** A shelf has an end, and none lies further ahead. */
export const SHELF_DAYS_AT_MOST = 30;
const DAY_MS = 86_400_000;

/** Who does something to an alert, and why, in their words. */
export interface Doing {
  readonly by: string;
  readonly why: string;
}

/** Somebody has seen the alert and sees to it; one that has returned to normal is closed by that. */
export async function acknowledge(db: Db, alertId: number, doing: Doing, nowMs: number): Promise<void> {
  await act(db, alertId, doing.by, nowMs, (move) => {
    move.row.acknowledged_by = doing.by;
    move.row.acknowledged_at = new Date(nowMs);
    changeState(move, nextState(move.row.state, 'acknowledge', stands(move.row)), 'acknowledged', doing.why);
    closeWhenNormal(move, nowMs, 'returned to normal and acknowledged');
  });
}

/**
 * Puts the alert out of sight until a moment.
 *
 * @throws InvalidInput when no reason is given, or the end isn't ahead or more than 30 days away
 */
export async function shelve(
  db: Db,
  alertId: number,
  doing: Doing & { readonly untilMs: number },
  nowMs: number,
): Promise<void> {
  needReason(doing);
  const { untilMs } = doing;
  if (!(untilMs > nowMs)) throw new InvalidInput({ until: 'must lie ahead' });
  if (untilMs > nowMs + SHELF_DAYS_AT_MOST * DAY_MS)
    throw new InvalidInput({ until: `must lie within ${SHELF_DAYS_AT_MOST} days` });
  await act(db, alertId, doing.by, nowMs, (move) => {
    move.row.shelved_until = new Date(untilMs);
    changeState(move, nextState(move.row.state, 'shelve', stands(move.row)), 'shelved', doing.why);
  });
}

/** Takes the alert off the shelf before its time is over. */
export async function unshelve(db: Db, alertId: number, doing: Doing, nowMs: number): Promise<void> {
  await act(db, alertId, doing.by, nowMs, (move) => {
    move.row.shelved_until = null;
    release(move, nextState(move.row.state, 'unshelve', stands(move.row)), 'unshelved', doing.why, nowMs);
  });
}

/** @throws InvalidInput when no reason is given */
export async function takeOutOfService(db: Db, alertId: number, doing: Doing, nowMs: number): Promise<void> {
  needReason(doing);
  await act(db, alertId, doing.by, nowMs, (move) => {
    move.row.shelved_until = null;
    changeState(
      move,
      nextState(move.row.state, 'take-out-of-service', stands(move.row)),
      'out-of-service',
      doing.why,
    );
  });
}

export async function returnToService(db: Db, alertId: number, doing: Doing, nowMs: number): Promise<void> {
  await act(db, alertId, doing.by, nowMs, (move) => {
    const state = nextState(move.row.state, 'return-to-service', stands(move.row));
    release(move, state, 'in-service', doing.why, nowMs);
  });
}

/** Puts words on the record and changes nothing. */
export async function note(db: Db, alertId: number, doing: Doing, nowMs: number): Promise<void> {
  needReason(doing);
  await act(db, alertId, doing.by, nowMs, (move) => record(move, 'note', doing.why, null, null));
}

async function act(
  db: Db,
  alertId: number,
  by: string,
  nowMs: number,
  change: (move: Move) => void,
): Promise<void> {
  await inTransaction(db, async (trx) => {
    await lookSoon(trx, alertId, nowMs);
    const row = await trx
      .selectFrom('alert')
      .selectAll()
      .where('alert_id', '=', alertId)
      .forNoKeyUpdate()
      .executeTakeFirst();
    if (row === undefined) throw new NotFound('alert', alertId);
    const move = beginMove(row);
    change(move);
    await writeMove(trx, row, move, by, nowMs);
  });
}

/**
 * Has the site looked at anew, which works out when it is due next: at the end of the shelf, say. Comes first, since whoever looks at a
 * site locks its watch before its alerts.
 */
async function lookSoon(trx: Db, alertId: number, nowMs: number): Promise<void> {
  await trx
    .updateTable('alert_watch')
    .set({ due_at: new Date(nowMs) })
    .where('site_id', '=', (where) =>
      where.selectFrom('alert').select('alert.site_id').where('alert_id', '=', alertId),
    )
    .execute();
}

function release(
  move: Move,
  state: Move['row']['state'],
  kind: AlertChangeKind,
  why: string,
  nowMs: number,
): void {
  changeState(move, state, kind, why);
  closeWhenNormal(move, nowMs, 'it had returned to normal before');
}

function needReason({ why }: Doing): void {
  if (why.trim() === '') throw new InvalidInput({ why: 'must say why, for those who look later' });
}
