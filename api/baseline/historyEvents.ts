import { sql } from 'kysely';
import type { PlanVersion } from '../../ingest/plan/channelPlan.ts';
import type { Db } from '../../ingest/store/database.ts';
import type { BaselineRow } from '../../ingest/store/schema.ts';
import type { HistoryView } from '../schemas/site.ts';
import type { Span } from './historyColumns.ts';

type Event = HistoryView['events'][number];

/** What people did within a span: line-up changes, accepted baselines, instruments that first read here. Oldest first. */
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

  return [...plans, ...accepted, ...instruments]
    .filter(({ at }) => Date.parse(at) >= span.fromMs && Date.parse(at) <= span.toMs)
    .sort((a, b) => Date.parse(a.at) - Date.parse(b.at));
}

/** First appearances, save that of the instrument which opened the point's history. */
async function newInstruments(db: Db, siteId: number, pointId: number, span: Span): Promise<Event[]> {
  const { rows } = await sql<{ instrument: string; first_at: Date }>`
    select instrument, min(at) as first_at
    from sweep
    where site_id = ${siteId} and point_id = ${pointId} and at <= ${new Date(span.toMs)}
    group by instrument
    order by first_at, instrument`.execute(db);
  return rows.slice(1).map(({ instrument, first_at }) => ({
    at: first_at.toISOString(),
    kind: 'instrument',
    text: `instrument ${instrument} reads here for the first time`,
  }));
}
