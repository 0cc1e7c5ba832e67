import type { WebhookAlert, WebhookPayload } from '../../schemas/webhook.ts';
import type { AlertDossier } from '../loadStories.ts';
import type { SortedItems } from '../sortItems.ts';

type Told = { readonly dossier: AlertDossier };

/** What a webhook is sent about alerts: type, timestamp and data, as the Standard Webhooks specification recommends. */
export function webhookPayload(sorted: SortedItems<Told>, origin: string, nowMs: number): WebhookPayload {
  const list = (what: WebhookAlert['what'], told: readonly Told[]) =>
    told.map(({ dossier }) => webhookAlert(what, dossier, origin));
  return {
    type: 'alerts.changed',
    timestamp: new Date(nowMs).toISOString(),
    data: {
      alerts: [
        ...list('open', sorted.open),
        ...list('worse', sorted.worse),
        ...list('returned', sorted.returned),
      ],
    },
  };
}

function webhookAlert(
  what: WebhookAlert['what'],
  { row, where }: AlertDossier,
  origin: string,
): WebhookAlert {
  const { limit_days_10: p10, limit_days_50: p50, limit_days_90: p90 } = row;
  return {
    what,
    alertId: row.alert_id,
    kind: row.kind,
    severity: row.severity,
    state: row.state,
    siteId: row.site_id,
    providerId: row.provider_id,
    where,
    title: row.title,
    sentence: row.sentence,
    side: row.side,
    cause: row.cause,
    doFirst: row.do_first,
    onsetAt: row.onset_at.toISOString(),
    raisedAt: row.raised_at.toISOString(),
    returnedAt: row.returned_at?.toISOString() ?? null,
    daysToLimit: p10 === null || p50 === null || p90 === null ? null : { p10, p50, p90 },
    outlets: row.outlets,
    sites: row.sites,
    url: `${origin}/alerts/${row.alert_id}`,
  };
}
