import type { WebhookPayload } from '../schemas/webhook.ts';
import type { MessageContent } from './message/content.ts';

/** What a message says, kept from the first attempt on so that every attempt says the same. */
export type FrozenContent =
  | { readonly form: 'mail'; readonly message: MessageContent }
  | { readonly form: 'webhook'; readonly payload: WebhookPayload };

/** The line by which people know a message. */
export function summaryOf(content: FrozenContent): string {
  if (content.form === 'mail') return content.message.subject;
  const { type, data } = content.payload;
  if (type === 'test') return 'Test';
  const titles = data.alerts.map(({ title }) => title);
  return titles.length === 1 ? titles[0]! : `${titles.length} alerts: ${titles.slice(0, 2).join('; ')}`;
}
