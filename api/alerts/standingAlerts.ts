import { type RawBuilder, sql } from 'kysely';
import { TOLD_STATES } from './toldStates.ts';

/**
 * How many alerts people are told of at a site, as its page lists them: its own, and the provider's events that it is part of or
 * that tell of a finding there; `table` has its `site_id`.
 */
export function standingAlerts(table: string): RawBuilder<number> {
  const siteId = sql.ref(`${table}.site_id`);
  return sql<number>`(
    select count(*)::int from alert
    where alert.site_id = ${siteId} and alert.returned_at is null and alert.state = any(${[...TOLD_STATES]})
  ) + (
    select count(*)::int from (
      select part.part_of as alert_id from alert as part
      where part.site_id = ${siteId} and part.part_of is not null and part.closed_at is null
      union
      select told.alert_id from alert_finding as told where told.site_id = ${siteId}) as here
    join alert as event on event.alert_id = here.alert_id
    where event.kind = 'provider-event' and event.returned_at is null and event.state = any(${[...TOLD_STATES]}))`;
}
