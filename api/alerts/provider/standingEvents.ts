import type { Db } from '../../../ingest/store/database.ts';
import type { AlertRow } from '../../../ingest/store/schema.ts';
import { SAME_EVENT_MS } from '../../diagnosis/causes/sitesAlike.ts';

/** Events of a provider that aren't over: alerts of its sites that show the same are part of them. */
export async function standingEvents(db: Db, providerId: number): Promise<AlertRow[]> {
  return db
    .selectFrom('alert')
    .selectAll()
    .where('kind', '=', 'provider-event')
    .where('provider_id', '=', providerId)
    .where('closed_at', 'is', null)
    .where('returned_at', 'is', null)
    .orderBy('alert_id')
    .execute();
}

interface Onset {
  readonly onsetLowMs: number;
  readonly onsetHighMs: number;
}

/** Whether something began within hours of an event, beyond the doubt of both onsets. */
export function isNearEvent(
  { onsetLowMs, onsetHighMs }: Onset,
  event: Pick<AlertRow, 'onset_low_at' | 'onset_high_at'>,
): boolean {
  return (
    onsetLowMs <= event.onset_high_at.getTime() + SAME_EVENT_MS &&
    onsetHighMs >= event.onset_low_at.getTime() - SAME_EVENT_MS
  );
}
