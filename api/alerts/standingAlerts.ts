import { type RawBuilder, sql } from 'kysely';
import { TOLD_STATES } from './toldStates.ts';

/** How many alerts stand at a site, those that are part of a provider's event among them; `table` has its `site_id`. */
export function standingAlerts(table: string): RawBuilder<number> {
  return sql<number>`(
    select count(*)::int from alert
    where alert.site_id = ${sql.ref(`${table}.site_id`)} and alert.returned_at is null
      and (alert.state = any(${[...TOLD_STATES]}) or (alert.state = 'suppressed' and alert.part_of is not null)))`;
}
