import type { Db } from '../../ingest/store/database.ts';
import type { DeliveryRow } from '../../ingest/store/schema.ts';
import { unseal } from '../accounts/sealSecret.ts';
import type { Deps } from '../deps.ts';
import type { Tried } from '../schemas/notify.ts';
import type { FrozenContent } from './frozenContent.ts';
import { sendMail } from './mail/sendMail.ts';
import { mailHtml } from './message/mailHtml.ts';
import { mailText } from './message/mailText.ts';
import { type Outcome, outcome } from './outcome.ts';
import { renderAlerts } from './renderAlerts.ts';
import { retryDelayMs } from './retryDelay.ts';
import { loadTargets, type Target } from './targets.ts';
import { postWebhook } from './webhook/postWebhook.ts';

export type DeliverDeps = Pick<Deps, 'db' | 'now' | 'origin' | 'secret' | 'notify'>;

/** Longer than any attempt lasts; a server that died lets go of its messages after that. */
const LEASE_MS = 3 * 60_000;

/**
 * Makes one attempt at a message that is due; null where it isn't due, is being sent elsewhere, or has nothing left to tell. The
 * attempt is on record before it begins. Between the other side's acceptance and our record of it lies an instant in which a crash
 * makes the message go out twice: both then carry the same Message-ID or webhook-id.
 */
export async function deliver(deps: DeliverDeps, deliveryId: number): Promise<Outcome | null> {
  const claimed = await claim(deps, deliveryId);
  if (claimed === null) return null;
  const { delivery, target, content } = claimed;
  const result = await attempt(deps, delivery, target, content);
  await record(deps, delivery, result);
  return result;
}

/** The same for somebody who waits for the answer. */
export async function tryOnce(deps: DeliverDeps, deliveryId: number): Promise<Tried> {
  const result = await deliver(deps, deliveryId);
  return (
    result ?? { outcome: null, detail: 'it is being sent already, or can no longer be: look at the list' }
  );
}

interface Claim {
  readonly delivery: DeliveryRow;
  readonly target: Target;
  readonly content: FrozenContent;
}

async function claim({ db, now, origin }: DeliverDeps, deliveryId: number): Promise<Claim | null> {
  const nowMs = now();
  return db.transaction().execute(async (trx) => {
    const delivery = await trx
      .selectFrom('delivery')
      .selectAll()
      .where('delivery_id', '=', deliveryId)
      .where('state', '=', 'waiting')
      .where('send_at', '<=', new Date(nowMs))
      .where((eb) => eb.or([eb('leased_until', 'is', null), eb('leased_until', '<', new Date(nowMs))]))
      .forUpdate()
      .skipLocked()
      .executeTakeFirst();
    if (!delivery) return null;
    const target = (await loadTargets(trx)).find(({ row }) => row.target_id === delivery.target_id);
    if (!target) return end(trx, delivery, 'dead', 'whom it was for is gone', nowMs);
    if (target.disabled) return end(trx, delivery, 'dead', 'the account is disabled', nowMs);
    const content =
      (delivery.content as FrozenContent | null) ??
      (await renderAlerts(trx, delivery, target, origin, nowMs));
    if (content === null) {
      return end(trx, delivery, 'dropped', 'over or in hand before it was to go out', nowMs);
    }
    await trx
      .updateTable('delivery')
      .set({
        content: JSON.stringify(content),
        leased_until: new Date(nowMs + LEASE_MS),
        attempts: delivery.attempts + 1,
        tries_left: delivery.tries_left - 1,
      })
      .where('delivery_id', '=', deliveryId)
      .execute();
    await trx
      .insertInto('delivery_attempt')
      .values({ delivery_id: deliveryId, attempt: delivery.attempts + 1, started_at: new Date(nowMs) })
      .execute();
    return { delivery, target, content };
  });
}

async function end(
  db: Db,
  { delivery_id }: DeliveryRow,
  state: 'dead' | 'dropped',
  why: string,
  nowMs: number,
): Promise<null> {
  await db
    .updateTable('delivery')
    .set({ state, why, ended_at: new Date(nowMs) })
    .where('delivery_id', '=', delivery_id)
    .execute();
  return null;
}

async function attempt(
  deps: DeliverDeps,
  delivery: DeliveryRow,
  target: Target,
  content: FrozenContent,
): Promise<Outcome> {
  const { notify, origin, secret, now } = deps;
  const messageKey = delivery.message_key;
  if (content.form === 'webhook') {
    const { url, sealed } = target.row;
    const key = readSecret(secret, sealed!);
    if (key === null)
      return outcome('refused', 'its secret was sealed under another LEVELKEEP_SECRET: make it again');
    const payload = JSON.stringify(content.payload);
    const call = { url: url!, secret: key, messageKey, payload, nowMs: now() };
    return postWebhook(call, { allowPrivate: notify.allowPrivateWebhooks });
  }
  if (notify.mail === null) return outcome('try-again', 'e-mail is not set up on this server');
  const settingsUrl = `${origin}/setup/notifications`;
  return sendMail(notify.mail, {
    to: { name: target.name, address: target.address! },
    subject: content.message.subject,
    text: mailText(content.message, settingsUrl),
    html: mailHtml(content.message, settingsUrl),
    messageKey,
  });
}

function readSecret(secret: string, sealed: Buffer): string | null {
  try {
    return unseal(secret, sealed);
  } catch {
    return null;
  }
}

async function record({ db, now }: DeliverDeps, delivery: DeliveryRow, result: Outcome): Promise<void> {
  const nowMs = now();
  const number = delivery.attempts + 1;
  const given = result.outcome === 'refused' || delivery.tries_left <= 1;
  const next = { send_at: new Date(nowMs + retryDelayMs(number)), why: result.detail };
  await db.transaction().execute(async (trx) => {
    await trx
      .updateTable('delivery_attempt')
      .set({ ended_at: new Date(nowMs), outcome: result.outcome, detail: result.detail })
      .where('delivery_id', '=', delivery.delivery_id)
      .where('attempt', '=', number)
      .execute();
    await trx
      .updateTable('delivery')
      .set({
        leased_until: null,
        ...(result.outcome === 'accepted'
          ? { state: 'sent', ended_at: new Date(nowMs), why: '' }
          : given
            ? { state: 'dead', ended_at: new Date(nowMs), why: result.detail }
            : next),
      })
      .where('delivery_id', '=', delivery.delivery_id)
      .execute();
  });
}
