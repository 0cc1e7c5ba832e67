import type { Db } from '../../ingest/store/database.ts';
import type { DeliveryRow } from '../../ingest/store/schema.ts';
import type { FrozenContent } from './frozenContent.ts';
import { type AlertDossier, loadStories } from './loadStories.ts';
import { alertsMessage } from './message/alertsMessage.ts';
import { webhookPayload } from './message/webhookPayload.ts';
import { hasNews, type Item, sortItems } from './sortItems.ts';
import type { Target } from './targets.ts';

type ToldItem = Item & { readonly dossier: AlertDossier };

/** What a message about alerts says at `nowMs`; null where nothing is left to tell. */
export async function renderAlerts(
  db: Db,
  delivery: DeliveryRow,
  target: Target,
  origin: string,
  nowMs: number,
): Promise<FrozenContent | null> {
  const { delivery_id, held } = delivery;
  const rows = await db
    .selectFrom('delivery_item')
    .selectAll()
    .where('delivery_id', '=', delivery_id)
    .execute();
  const stories = await loadStories(db, [...new Set(rows.map(({ alert_id }) => alert_id))]);
  const byId = new Map(stories.map((story) => [story.alert.alertId, story]));
  const told = await toldBefore(db, delivery);
  const items = rows.flatMap((row): ToldItem[] => {
    const dossier = byId.get(row.alert_id);
    if (!dossier) return [];
    const { what, alert_id: alertId, opening_id: openingId, step } = row;
    const telling = { what, alertId, openingId, step };
    return [{ telling, changes: dossier.changes, toldBefore: told.has(openingId), dossier }];
  });
  const sorted = sortItems(items, nowMs);
  if (!hasNews(sorted, held)) return null;

  if (target.row.kind === 'webhook') {
    return { form: 'webhook', payload: webhookPayload(sorted, origin, nowMs) };
  }
  const escalated = sorted.open.length > 0 && sorted.open.every(({ telling }) => telling.step > 0);
  const reader = { timeZone: target.row.time_zone, origin, nowMs };
  const rules = await ruleNames(db, new Set(rows.map(({ rule_id }) => rule_id)));
  return { form: 'mail', message: alertsMessage(sorted, { held, escalated }, rules, reader) };
}

/** Openings that an earlier message, sent or still to be sent, told the target. */
async function toldBefore(db: Db, { delivery_id, target_id }: DeliveryRow): Promise<Set<number>> {
  const rows = await db
    .selectFrom('delivery_item')
    .innerJoin('delivery', 'delivery.delivery_id', 'delivery_item.delivery_id')
    .select('delivery_item.opening_id')
    .where('delivery_item.target_id', '=', target_id)
    .where('delivery_item.what', '=', 'open')
    .where('delivery_item.delivery_id', '!=', delivery_id)
    .where('delivery.state', '!=', 'dropped')
    .where('delivery_item.alert_id', 'in', (eb) =>
      eb
        .selectFrom('delivery_item as mine')
        .select('mine.alert_id')
        .where('mine.delivery_id', '=', delivery_id),
    )
    .execute();
  return new Set(rows.map(({ opening_id }) => opening_id));
}

async function ruleNames(db: Db, ruleIds: ReadonlySet<number>): Promise<string[]> {
  const rows = await db
    .selectFrom('notify_rule')
    .select('name')
    .where('rule_id', 'in', [...ruleIds])
    .orderBy('name')
    .execute();
  return rows.length === 0 ? ['that is gone now'] : rows.map(({ name }) => name);
}
