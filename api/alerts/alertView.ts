import type { AlertChangeRow, AlertRow } from '../../ingest/store/schema.ts';
import type { AlertChangeView, AlertView } from '../schemas/alerts.ts';

/** An alert beside the names of where it is. */
export type AlertRecord = AlertRow & {
  readonly site_name: string | null;
  readonly town: string | null;
  readonly provider_name: string | null;
  readonly time_zone: string | null;
};

/** An alert as it travels to a page. */
export function alertView(record: AlertRecord): AlertView {
  const { limit_days_10: p10, limit_days_50: p50, limit_days_90: p90 } = record;
  return {
    alertId: record.alert_id,
    kind: record.kind,
    siteId: record.site_id,
    siteName: record.site_name,
    town: record.town,
    providerId: record.provider_id,
    provider: record.provider_name,
    timeZone: record.time_zone ?? 'UTC',
    severity: record.severity,
    state: record.state,
    title: record.title,
    sentence: record.sentence,
    side: record.side,
    cause: record.cause,
    doFirst: record.do_first,
    onsetAt: record.onset_at.toISOString(),
    raisedAt: record.raised_at.toISOString(),
    returnedAt: record.returned_at?.toISOString() ?? null,
    closedAt: record.closed_at?.toISOString() ?? null,
    limitDays: p10 === null || p50 === null || p90 === null ? null : { p10, p50, p90 },
    outlets: record.outlets,
    sites: record.sites,
    priority: record.priority,
    shelvedUntil: record.shelved_until?.toISOString() ?? null,
    acknowledgedBy: record.acknowledged_by,
    acknowledgedAt: record.acknowledged_at?.toISOString() ?? null,
    partOf: record.part_of,
  };
}

export function changeView(row: AlertChangeRow): AlertChangeView {
  return {
    changeId: row.change_id,
    at: row.at.toISOString(),
    kind: row.kind,
    by: row.by_whom,
    why: row.why,
    before: row.before as AlertChangeView['before'],
    after: row.after as AlertChangeView['after'],
  };
}
