import { constants, zstdCompressSync, zstdDecompressSync } from 'node:zlib';
import { type Kysely, sql } from 'kysely';

/**
 * What the engine remembers of a point is a third shorter: block means are whole hundredths of a dB and of a degree; and it remembers
 * what single channels put on the whole band. States and
 * checkpoints are put into the new form as they are, since sweeps that were let go can't be looked at again.
 */
export async function up(db: Kysely<unknown>): Promise<void> {
  const { rows: sites } = await sql<{ site_id: string }>`select site_id from site_state`.execute(db);
  for (const { site_id } of sites) {
    await rewriteStates(db, site_id);
    await rewriteCheckpoints(db, site_id);
  }
}

async function rewriteStates(db: Kysely<unknown>, siteId: string): Promise<void> {
  const { rows } = await sql<{ point_id: string; state: OldPoint }>`
    select point_id, state from point_state where site_id = ${siteId} and state is not null`.execute(db);
  for (const { point_id, state } of rows) {
    await sql`
      update point_state set state = ${JSON.stringify(inHundredths(state))}::json
      where site_id = ${siteId} and point_id = ${point_id}`.execute(db);
  }
}

async function rewriteCheckpoints(db: Kysely<unknown>, siteId: string): Promise<void> {
  const { rows } = await sql<{ at: Date; state: Buffer }>`
    select at, state from checkpoint where site_id = ${siteId}`.execute(db);
  for (const { at, state } of rows) {
    const trend: { points: Record<string, OldPoint> } = JSON.parse(zstdDecompressSync(state).toString());
    const points = Object.fromEntries(
      Object.entries(trend.points).map(([id, point]) => [id, inHundredths(point)]),
    );
    const packed = zstdCompressSync(JSON.stringify({ ...trend, version: 3, points }), {
      params: { [constants.ZSTD_c_compressionLevel]: 1 },
    });
    await sql`update checkpoint set state = ${packed} where site_id = ${siteId} and at = ${at}`.execute(db);
  }
}

type Values = (number | null)[];

interface OldPoint {
  block: { values: Record<string, number[]>; ambient: number[] } | null;
  history: { values: Record<string, Values>; ambient: Values };
}

function inHundredths(point: OldPoint): Record<string, unknown> {
  const { values, ...history } = point.history;
  return {
    ...point,
    cleared: null,
    block: point.block && blockInHundredths(point.block),
    history: { ...history, meanCdb: eachInHundredths(values), ambient: wholeHundredths(history.ambient) },
  };
}

function blockInHundredths({ values, ...block }: NonNullable<OldPoint['block']>): Record<string, unknown> {
  return { ...block, cdb: eachInHundredths(values), ambient: wholeHundredths(block.ambient) };
}

function eachInHundredths(values: Record<string, Values>): Record<string, Values> {
  return Object.fromEntries(Object.entries(values).map(([name, list]) => [name, wholeHundredths(list)]));
}

function wholeHundredths(values: Values): Values {
  return values.map((value) => (value === null ? null : Math.round(100 * value) + 0));
}
