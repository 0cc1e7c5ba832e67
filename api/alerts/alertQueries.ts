import type { z } from '@hono/zod-openapi';
import { type RawBuilder, sql } from 'kysely';
import type { Db } from '../../ingest/store/database.ts';
import { ALERT_STATES, type AlertState, SEVERITIES } from '../../ingest/store/schema.ts';
import { NotFound } from '../errors.ts';
import { siteView } from '../risk/siteView.ts';
import type { AlertPage, AlertQuery, OneAlertView } from '../schemas/alerts.ts';
import type { FindingView } from '../schemas/common.ts';
import { type AlertRecord, alertView, changeView } from './alertView.ts';
import { TOLD_STATES } from './toldStates.ts';

const UNACKNOWLEDGED = ['active-unacknowledged', 'returned-unacknowledged'] as const;

/** One slice of the alerts, those that cost most outlet-days first; what is over comes newest first. */
export async function listAlerts(db: Db, query: z.output<typeof AlertQuery>): Promise<AlertPage> {
  const matches = where(query);
  const order =
    query.state === 'normal'
      ? sql`alert.closed_at desc, alert.alert_id desc`
      : sql`alert.priority desc, array_position(${[...SEVERITIES]}::text[], alert.severity), alert.onset_at, alert.alert_id`;
  const { rows } = await sql<AlertRecord>`
    ${RECORDS} where ${matches} order by ${order} limit ${query.limit} offset ${query.offset}`.execute(db);
  const { rows: totals } = await sql<{ state: AlertState; found: number; there: number }>`
    select state, count(*) filter (where ${matches})::int as found, count(*)::int as there
    from alert group by state`.execute(db);
  const there = new Map(totals.map((total) => [total.state, total.there]));
  return {
    total: totals.reduce((sum, { found }) => sum + found, 0),
    unacknowledged: UNACKNOWLEDGED.reduce((sum, state) => sum + (there.get(state) ?? 0), 0),
    states: Object.fromEntries(ALERT_STATES.map((state) => [state, there.get(state) ?? 0])) as Record<
      AlertState,
      number
    >,
    rows: rows.map(alertView),
  };
}

/**
 * One alert with its findings, its sites and all that was done to it.
 *
 * @throws NotFound when there is no such alert
 */
export async function findAlert(db: Db, alertId: number, nowMs: number): Promise<OneAlertView> {
  const { rows } = await sql<AlertRecord>`${RECORDS} where alert.alert_id = ${alertId}`.execute(db);
  const record = rows[0];
  if (record === undefined) throw new NotFound('alert', alertId);
  const changes = await db
    .selectFrom('alert_change')
    .selectAll()
    .where('alert_id', '=', alertId)
    .orderBy('change_id')
    .execute();
  return {
    ...alertView(record),
    findings: record.site_id === null ? [] : await findingsOf(db, alertId, record.site_id, nowMs),
    members: record.kind === 'provider-event' ? await membersOf(db, alertId) : [],
    changes: changes.map(changeView),
  };
}

const RECORDS = sql`
  select alert.*, site.name as site_name, site.town, provider.name as provider_name,
    coalesce(site.time_zone, (
      select time_zone from site as other where other.provider_id = alert.provider_id
      group by time_zone order by count(*) desc limit 1)) as time_zone
  from alert
  left join site on site.site_id = alert.site_id
  left join provider on provider.provider_id = alert.provider_id`;

function where(query: z.output<typeof AlertQuery>): RawBuilder<boolean> {
  const { state, severity, side, providerId, siteId } = query;
  const conditions = [
    state === undefined ? sql`alert.state = any(${[...TOLD_STATES]})` : sql`alert.state = ${state}`,
    ...(severity === undefined ? [] : [sql`alert.severity = ${severity}`]),
    ...(side === undefined ? [] : [sql`alert.side = ${side}`]),
    ...(providerId === undefined ? [] : [sql`alert.provider_id = ${providerId}`]),
    ...(siteId === undefined ? [] : [ofSite(siteId)]),
  ];
  return sql<boolean>`(${sql.join(conditions, sql` and `)})`;
}

/** Its own, and the provider's events that it is part of or tell of a finding there. */
function ofSite(siteId: number): RawBuilder<unknown> {
  return sql`(alert.site_id = ${siteId} or alert.kind = 'provider-event' and alert.alert_id in (
    select part.part_of from alert as part
    where part.site_id = ${siteId} and part.part_of is not null and part.closed_at is null
    union all
    select told.alert_id from alert_finding as told where told.site_id = ${siteId}))`;
}

async function findingsOf(db: Db, alertId: number, siteId: number, nowMs: number): Promise<FindingView[]> {
  const told = await db
    .selectFrom('alert_finding')
    .select(['event', 'point_id'])
    .where('alert_id', '=', alertId)
    .execute();
  if (told.length === 0) return [];
  const { findings } = await siteView(db, siteId, nowMs);
  return findings.filter(({ event, pointId }) =>
    told.some((ref) => ref.event === event && ref.point_id === pointId),
  );
}

async function membersOf(db: Db, eventId: number): Promise<OneAlertView['members']> {
  const { rows } = await sql<{
    site_id: number;
    name: string;
    town: string;
    outlets: number;
    alert_id: number | null;
    shows: boolean;
  }>`
    select site.site_id, site.name, site.town, site.outlets, part.alert_id,
      coalesce(part.gone_at is null and part.closed_at is null, false) or exists (
        select from finding
        join alert_finding as told on told.site_id = finding.site_id and told.event = finding.event
          and told.point_id = finding.point_id
        where told.alert_id = ${eventId} and finding.site_id = site.site_id and finding.closed_at is null
      ) as shows
    from site
    left join lateral (
      select alert_id, gone_at, closed_at from alert
      where part_of = ${eventId} and alert.site_id = site.site_id
      order by alert_id desc limit 1) as part on true
    where part.alert_id is not null
      or site.site_id in (select site_id from alert_finding where alert_id = ${eventId})
    order by site.name, site.site_id`.execute(db);
  return rows.map(({ site_id, alert_id, ...site }) => ({ siteId: site_id, alertId: alert_id, ...site }));
}
