import { sql } from 'kysely';
import type { PlanVersion } from '../../ingest/plan/channelPlan.ts';
import type { Db } from '../../ingest/store/database.ts';
import type { BaselineRow } from '../../ingest/store/schema.ts';
import type { HistoryView } from '../schemas/site.ts';
import type { Span } from './historyColumns.ts';

type Event = HistoryView['events'][number];

/** What people did within a span: line-up changes, accepted baselines, instruments that first read here, their calibrations. Oldest first. */
export async function historyEvents(
  db: Db,
  siteId: number,
  pointId: number,
  span: Span,
  planVersions: readonly PlanVersion[],
  baselines: readonly BaselineRow[],
): Promise<Event[]> {
  const plans = planVersions.map(
    ({ effectiveFromMs, version, note }): Event => ({
      at: new Date(effectiveFromMs).toISOString(),
      kind: 'plan',
      text: `channel plan version ${version}${note === '' ? '' : `: ${note}`}`,
    }),
  );
  const accepted = baselines.map(
    (row): Event => ({
      at: row.effective_from.toISOString(),
      kind: 'baseline',
      text: `baseline version ${row.version}, accepted by ${row.accepted_by}`,
    }),
  );
  const instruments = await newInstruments(db, siteId, pointId, span);

  return [...plans, ...accepted, ...instruments.firsts, ...(await calibrated(db, siteId, instruments.names))]
    .filter(({ at }) => Date.parse(at) >= span.fromMs && Date.parse(at) <= span.toMs)
    .sort((a, b) => Date.parse(a.at) - Date.parse(b.at));
}

/** First appearances, save that of the instrument which opened the point's history. */
async function newInstruments(
  db: Db,
  siteId: number,
  pointId: number,
  span: Span,
): Promise<{ names: readonly string[]; firsts: Event[] }> {
  const { rows } = await sql<{ instrument: string; first_at: Date }>`
    select instrument, min(at) as first_at
    from sweep
    where site_id = ${siteId} and point_id = ${pointId} and at <= ${new Date(span.toMs)}
    group by instrument
    order by first_at, instrument`.execute(db);
  const firsts = rows.slice(1).map(
    ({ instrument, first_at }): Event => ({
      at: first_at.toISOString(),
      kind: 'instrument',
      text: `instrument ${instrument} reads here for the first time`,
    }),
  );
  return { names: rows.map(({ instrument }) => instrument), firsts };
}

async function calibrated(db: Db, siteId: number, names: readonly string[]): Promise<Event[]> {
  if (names.length === 0) return [];
  const rows = await db
    .selectFrom('instrument_calibration')
    .select(['name', 'calibrated_at', 'uncertainty_db'])
    .where('site_id', '=', siteId)
    .where('name', 'in', names)
    .execute();
  return rows.map(({ name, calibrated_at, uncertainty_db }) => ({
    at: calibrated_at.toISOString(),
    kind: 'calibration',
    text: `instrument ${name} calibrated${uncertainty_db === null ? '' : `, uncertainty ${uncertainty_db} dB`}`,
  }));
}
