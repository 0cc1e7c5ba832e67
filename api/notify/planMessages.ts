import { type Insertable, type Kysely, sql } from 'kysely';
import type { Db } from '../../ingest/store/database.ts';
import type { Database, DeliveryItemTable } from '../../ingest/store/schema.ts';
import { joins, type Slot, slotOf } from './bundling.ts';
import { type AlertDossier, loadStories } from './loadStories.ts';
import { nearSince } from './nearSince.ts';
import { TRIES } from './retryDelay.ts';
import type { Rule } from './rule.ts';
import { loadRules } from './rules.ts';
import { hoursOf, loadTargets, sentTo, type Target } from './targets.ts';
import { type Telling, tellingKey, tellingsOf } from './tellingsOf.ts';

/** How long after its last change an alert is still looked at; an unacknowledged one always is. */
const LOOK_BACK_MS = 2 * 86_400_000;
/** A statement takes 65,535 parameters; an item has nine. */
const ITEMS_AT_A_TIME = 1000;

type DeliveryItem = Insertable<DeliveryItemTable>;

/**
 * Writes down all that the rules have to tell by now, each thing in the message it belongs to, in one transaction. What was written
 * before is left alone, so it may run at any time, on any server, again after a crash.
 *
 * @returns how many things were newly written down
 */
export async function planMessages(db: Db, nowMs: number): Promise<number> {
  return db.transaction().execute(async (trx) => {
    // Passes take turns, so that two can't open a message each for one person; readers are not held up.
    await sql`lock table delivery_item in share row exclusive mode`.execute(trx);
    const rules = (await loadRules(trx)).filter(({ enabled }) => enabled);
    if (rules.length === 0) return 0;
    const stories = await storiesToLookAt(trx, nowMs);
    const made = await madeBefore(trx, stories);
    const fresh: Telling[] = [];
    for (const rule of rules) {
      const near = await nearSince(trx, rule, stories, nowMs);
      for (const story of stories) {
        const nearFromMs = near(story.alert.alertId);
        const tellings = tellingsOf(rule, story, { untilMs: nowMs, made, nearFromMs });
        fresh.push(...tellings.filter((telling) => !made.has(tellingKey(telling))));
      }
    }
    await writeDown(trx, fresh, new Map(rules.map((rule) => [rule.ruleId, rule])), nowMs);
    return fresh.length;
  });
}

async function storiesToLookAt(db: Db, nowMs: number): Promise<AlertDossier[]> {
  const recent = db
    .selectFrom('alert_change')
    .select('alert_id')
    .where('at', '>=', new Date(nowMs - LOOK_BACK_MS));
  const open = db.selectFrom('alert').select('alert_id').where('state', '=', 'active-unacknowledged');
  const rows = await recent.union(open).execute();
  return loadStories(
    db,
    rows.map(({ alert_id }) => alert_id),
  );
}

async function madeBefore(db: Db, stories: readonly AlertDossier[]): Promise<Set<string>> {
  if (stories.length === 0) return new Set();
  const ids = stories.map(({ alert }) => alert.alertId);
  const rows = await db
    .selectFrom('delivery_item')
    .select(['rule_id as ruleId', 'change_id as changeId', 'target_id as targetId', 'step'])
    .where('alert_id', '=', sql<number>`any(${ids}::bigint[])`)
    .execute();
  return new Set(rows.map(tellingKey));
}

/** Puts each telling into the message that waits for its target and time, or into a new one. */
async function writeDown(
  db: Kysely<Database>,
  tellings: readonly Telling[],
  rules: ReadonlyMap<number, Rule>,
  nowMs: number,
): Promise<void> {
  if (tellings.length === 0) return;
  const targets = new Map((await loadTargets(db)).map((target) => [target.row.target_id, target]));
  const waiting = await waitingMessages(db);
  const items: DeliveryItem[] = [];
  for (const telling of tellings) {
    const target = targets.get(telling.targetId);
    if (!target) continue;
    const rule = rules.get(telling.ruleId)!;
    const slot = slotOf(hoursOf(target), rule.throughQuiet, nowMs);
    const open = waiting.find(
      (message) => message.targetId === telling.targetId && joins(message, slot, nowMs),
    );
    const message = open ?? (await openMessage(db, target, slot, nowMs));
    if (!open) waiting.push(message);
    items.push(itemOf(telling, message.deliveryId));
  }
  for (let i = 0; i < items.length; i += ITEMS_AT_A_TIME) {
    await db
      .insertInto('delivery_item')
      .values(items.slice(i, i + ITEMS_AT_A_TIME))
      .execute();
  }
}

interface WaitingMessage extends Slot {
  readonly deliveryId: number;
  readonly targetId: number;
}

/** Messages that nobody has begun to send; they are held so that none is sent before this pass has added to it. */
async function waitingMessages(db: Db): Promise<WaitingMessage[]> {
  const rows = await db
    .selectFrom('delivery')
    .select(['delivery_id', 'target_id', 'send_at', 'held'])
    .where('state', '=', 'waiting')
    .where('kind', '=', 'alerts')
    .where('attempts', '=', 0)
    .where('content', 'is', null)
    .forUpdate()
    .skipLocked()
    .execute();
  return rows.map((row) => ({
    deliveryId: row.delivery_id,
    targetId: row.target_id,
    sendMs: row.send_at.getTime(),
    held: row.held,
  }));
}

async function openMessage(db: Db, target: Target, slot: Slot, nowMs: number): Promise<WaitingMessage> {
  const { delivery_id } = await db
    .insertInto('delivery')
    .values({
      target_id: target.row.target_id,
      kind: 'alerts',
      state: 'waiting',
      held: slot.held,
      created_at: new Date(nowMs),
      send_at: new Date(slot.sendMs),
      tries_left: TRIES,
      sent_to: sentTo(target),
    })
    .returning('delivery_id')
    .executeTakeFirstOrThrow();
  return { deliveryId: delivery_id, targetId: target.row.target_id, ...slot };
}

function itemOf(telling: Telling, deliveryId: number): DeliveryItem {
  return {
    rule_id: telling.ruleId,
    change_id: telling.changeId,
    target_id: telling.targetId,
    step: telling.step,
    delivery_id: deliveryId,
    alert_id: telling.alertId,
    opening_id: telling.openingId,
    what: telling.what,
    due_at: new Date(telling.dueMs),
  };
}
