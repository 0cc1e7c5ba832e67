import type { Db } from '../../ingest/store/database.ts';
import type { NewFinding } from '../../ingest/store/schema.ts';

const HOUR = 3_600_000;
let events = 0;

/** An open level drift of −0.09 dB a day, as the engine keeps it, that began at `onsetMs`. */
export async function givenDrift(
  db: Db,
  siteId: number,
  pointId: number,
  onsetMs: number,
  changes: Partial<NewFinding> = {},
): Promise<void> {
  const { fed_by } = await db
    .selectFrom('point')
    .select('fed_by')
    .where('site_id', '=', siteId)
    .where('point_id', '=', pointId)
    .executeTakeFirstOrThrow();
  await db
    .insertInto('finding')
    .values({
      site_id: siteId,
      event: ++events,
      point_id: pointId,
      kind: 'drift',
      metric: 'level',
      shape: 'flat',
      detected_at: new Date(onsetMs + 72 * HOUR),
      onset_at: new Date(onsetMs),
      onset_low_at: new Date(onsetMs - 6 * HOUR),
      onset_high_at: new Date(onsetMs + 6 * HOUR),
      size_db: -2.7,
      size_low_db: -3,
      size_high_db: -2.4,
      slope_db_per_day: -0.09,
      slope_low_db_per_day: -0.1,
      slope_high_db_per_day: -0.08,
      limit_days_10: 14,
      limit_days_50: 19,
      limit_days_90: 27,
      limit_name: 'level at least -12 dBmV',
      closed_at: null,
      side: fed_by === null ? 'provider' : 'building',
      hop_from: fed_by,
      hop_to: pointId,
      explained_by: null,
      told_at: new Date(onsetMs + 72 * HOUR),
      ...changes,
    })
    .execute();
}

/** What the engine leaves beside a point once it has taken in the sweep of `atMs`. */
export async function givenLatest(
  db: Db,
  siteId: number,
  pointId: number,
  atMs: number,
  deviationDb = 0.12,
): Promise<void> {
  const latest = {
    at: new Date(atMs).toISOString(),
    instrument: 'probe-7',
    ambientC: 21.5,
    levelDbmv: 2,
    tiltDb: -0.4,
    flatnessDb: 0.8,
    worstMerMarginDb: 5,
    worstMerChannel: '7',
    levelDevDb: deviationDb,
    tiltDevDb: 0,
    merDevDb: -0.4,
    channels: 30,
    lostChannels: [],
  };
  await db
    .insertInto('point_state')
    .values({
      site_id: siteId,
      point_id: pointId,
      last_at: new Date(atMs),
      state: null,
      latest: JSON.stringify(latest),
    })
    .execute();
}
