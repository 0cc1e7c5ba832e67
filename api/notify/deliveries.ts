import type { Db } from '../../ingest/store/database.ts';
import type { DeliveryRow } from '../../ingest/store/schema.ts';
import { ApiError, NotFound } from '../errors.ts';
import type { Deliveries, DeliveryView } from '../schemas/notify.ts';
import type { FrozenContent } from './frozenContent.ts';
import { summaryOf } from './frozenContent.ts';
import { sentTo, type Target } from './targets.ts';

const PAGE = 50;

/** Messages, newest first, with every attempt at them. */
export async function listDeliveries(
  db: Db,
  filter: { readonly state?: DeliveryRow['state'] | undefined; readonly before?: number | undefined },
): Promise<Deliveries> {
  const rows = await db
    .selectFrom('delivery')
    .selectAll()
    .$if(filter.state !== undefined, (query) => query.where('state', '=', filter.state!))
    .$if(filter.before !== undefined, (query) => query.where('delivery_id', '<', filter.before!))
    .orderBy('delivery_id', 'desc')
    .limit(PAGE + 1)
    .execute();
  const page = rows.slice(0, PAGE);
  const { dead } = await db
    .selectFrom('delivery')
    .select((eb) => eb.fn.countAll<number>().as('dead'))
    .where('state', '=', 'dead')
    .executeTakeFirstOrThrow();
  return { deliveries: await withAttempts(db, page), dead, more: rows.length > PAGE };
}

async function withAttempts(db: Db, rows: readonly DeliveryRow[]): Promise<DeliveryView[]> {
  if (rows.length === 0) return [];
  const attempts = await db
    .selectFrom('delivery_attempt')
    .selectAll()
    .where(
      'delivery_id',
      'in',
      rows.map(({ delivery_id }) => delivery_id),
    )
    .orderBy('attempt')
    .execute();
  const byDelivery = Map.groupBy(attempts, ({ delivery_id }) => delivery_id);
  return rows.map((row) => ({
    deliveryId: row.delivery_id,
    kind: row.kind,
    state: row.state,
    sentTo: row.sent_to,
    summary: row.content === null ? null : summaryOf(row.content as FrozenContent),
    held: row.held,
    createdAt: row.created_at.toISOString(),
    sendAt: row.send_at.toISOString(),
    endedAt: row.ended_at?.toISOString() ?? null,
    why: row.why,
    attempts: (byDelivery.get(row.delivery_id) ?? []).map((attempt) => ({
      attempt: attempt.attempt,
      startedAt: attempt.started_at.toISOString(),
      endedAt: attempt.ended_at?.toISOString() ?? null,
      outcome: attempt.outcome,
      detail: attempt.detail,
    })),
  }));
}

/** How a message stands, without what it says. Throws 404 when there is none. */
export async function findDelivery(
  db: Db,
  deliveryId: number,
): Promise<Pick<DeliveryView, 'kind' | 'state' | 'sentTo' | 'why'>> {
  const row = await db
    .selectFrom('delivery')
    .select(['kind', 'state', 'sent_to as sentTo', 'why'])
    .where('delivery_id', '=', deliveryId)
    .executeTakeFirst();
  if (!row) throw new NotFound('message', deliveryId);
  return row;
}

/** Makes a message that was given up due again, for one attempt; throws 409 for any other. */
export async function reviveDelivery(db: Db, deliveryId: number, nowMs: number): Promise<void> {
  const row = await db
    .updateTable('delivery')
    .set({ state: 'waiting', send_at: new Date(nowMs), ended_at: null, leased_until: null, tries_left: 1 })
    .where('delivery_id', '=', deliveryId)
    .where('state', '=', 'dead')
    .returning('delivery_id')
    .executeTakeFirst();
  if (row) return;
  await findDelivery(db, deliveryId);
  throw new ApiError(409, 'not-given-up', 'the message was not given up', 'load the list again');
}

/** Writes a test message to a target, due now, for one attempt. */
export async function addTest(
  db: Db,
  target: Target,
  by: string,
  origin: string,
  nowMs: number,
): Promise<number> {
  const at = new Date(nowMs);
  const { delivery_id } = await db
    .insertInto('delivery')
    .values({
      target_id: target.row.target_id,
      kind: 'test',
      state: 'waiting',
      held: false,
      created_at: at,
      send_at: at,
      tries_left: 1,
      sent_to: sentTo(target),
      content: JSON.stringify(testContent(target, by, origin, nowMs)),
    })
    .returning('delivery_id')
    .executeTakeFirstOrThrow();
  return delivery_id;
}

function testContent({ row }: Target, by: string, origin: string, nowMs: number): FrozenContent {
  if (row.kind === 'webhook') {
    return {
      form: 'webhook',
      payload: { type: 'test', timestamp: new Date(nowMs).toISOString(), data: { alerts: [] } },
    };
  }
  return {
    form: 'mail',
    message: {
      subject: 'Test: messages from Levelkeep reach you',
      intro:
        'This is a test. When an alert comes up, a message like this one says what, where, since when, how long is left and what to do first.',
      sections: [],
      caution: null,
      closing: `Sent by ${by} from Set-up, Notifications.`,
      link: { words: 'Open Levelkeep', url: origin },
    },
  };
}
