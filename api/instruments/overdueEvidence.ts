import { sql } from 'kysely';
import type { Db } from '../../ingest/store/database.ts';
import type { FindingRow } from '../../ingest/store/schema.ts';
import { type Calibrations, overdueSince } from './calibrations.ts';

/** An instrument out of calibration, and since when it was. */
export interface OverdueInstrument {
  readonly name: string;
  readonly sinceMs: number;
}

type FindingKey = { readonly event: number; readonly pointId: number };

/**
 * Which findings rest on readings by an instrument out of calibration: by the newest sweep at their point when they were detected. Asks
 * the store nothing where no calibration of the site is ever due.
 */
export async function overdueEvidence(
  db: Db,
  siteId: number,
  findings: readonly FindingRow[],
  calibrations: Calibrations,
): Promise<(finding: FindingKey) => OverdueInstrument | null> {
  const canBeOverdue = [...calibrations.values()].flat().some(({ dueMs }) => dueMs !== null);
  if (!canBeOverdue || findings.length === 0) return () => null;
  const { rows } = await sql<{ event: number; point_id: number; at: Date; instrument: string }>`
    select told.event, told.point_id, newest.at, newest.instrument
    from unnest(
      ${findings.map(({ event }) => event)}::integer[],
      ${findings.map(({ point_id }) => point_id)}::bigint[],
      ${findings.map(({ detected_at }) => detected_at)}::timestamptz[]
    ) as told (event, point_id, detected_at)
    cross join lateral (
      select at, instrument from sweep
      where sweep.site_id = ${siteId} and sweep.point_id = told.point_id and sweep.at <= told.detected_at
      order by at desc, instrument limit 1
    ) as newest`.execute(db);
  const overdue = new Map(
    rows.flatMap(({ event, point_id, at, instrument }): [string, OverdueInstrument][] => {
      const sinceMs = overdueSince(calibrations, instrument, at.getTime());
      return sinceMs === null ? [] : [[`${event} ${point_id}`, { name: instrument, sinceMs }]];
    }),
  );
  return ({ event, pointId }) => overdue.get(`${event} ${pointId}`) ?? null;
}
