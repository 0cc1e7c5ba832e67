import type { DatabaseSync } from 'node:sqlite';

export interface NamedRow {
  readonly id: number;
  readonly point: string;
  readonly instrument: string;
  readonly at_ms: number;
}

export interface BatchRow extends NamedRow {
  readonly body: string;
  readonly bytes: number;
}

export interface StampedRow extends NamedRow {
  readonly uptime_ms: number;
  readonly original_at_ms: number;
}

export interface CountsRow {
  readonly waiting: number;
  readonly waiting_bytes: number;
  readonly oldest_at_ms: number | null;
  readonly refused: number;
}

export type Statements = ReturnType<typeof prepareStatements>;

/** Every statement of a spool, prepared once. */
export function prepareStatements(database: DatabaseSync) {
  return {
    insert: database.prepare(`
      insert into sweep (point, instrument, at_ms, body, bytes, boot, uptime_ms, original_at_ms)
      values (?, ?, ?, ?, ?, ?, ?, ?) on conflict do nothing`),
    twin: database.prepare('select id, body from sweep where point = ? and at_ms = ? and instrument = ?'),
    batch: database.prepare(`
      select id, point, instrument, at_ms, body, bytes from sweep order by failures, id limit ?`),
    tried: database.prepare('update sweep set is_tried = ? where id = ?'),
    failed: database.prepare('update sweep set failures = failures + 1 where id = ?'),
    remove: database.prepare('delete from sweep where id = ?'),
    counts: database.prepare(`
      select count(*) as waiting, coalesce(sum(bytes), 0) as waiting_bytes, min(at_ms) as oldest_at_ms,
        (select count(*) from refused) as refused from sweep`),
    bytes: database.prepare('select coalesce(sum(bytes), 0) as bytes from sweep'),
    all: database.prepare('select id, point, instrument, at_ms as "atMs", bytes from sweep'),
    thin: database.prepare(`
      insert into thinned (point, left_over, sweeps, from_ms, to_ms) values (?, ?, 1, ?, ?)
      on conflict (point, left_over) do update set sweeps = sweeps + 1,
        from_ms = min(from_ms, excluded.from_ms), to_ms = max(to_ms, excluded.to_ms)`),
    thinned: database.prepare(
      'select point, left_over as "leftOver", sweeps, from_ms as "fromMs", to_ms as "toMs" from thinned order by 1, 2',
    ),
    laterJumps: database.prepare(
      'select coalesce(sum(delta_ms), 0) as delta_ms from correction where boot = ? and uptime_ms > ?',
    ),
    stamped: database.prepare(`
      select id, point, instrument, at_ms, uptime_ms, coalesce(original_at_ms, at_ms) as original_at_ms
      from sweep where boot = ? and not is_tried order by at_ms * ?`),
    stampedOne: database.prepare(`
      select id, point, instrument, at_ms, uptime_ms, coalesce(original_at_ms, at_ms) as original_at_ms
      from sweep where boot = ? and id = ?`),
    move: database.prepare(
      'update sweep set at_ms = ?, original_at_ms = coalesce(original_at_ms, at_ms) where id = ?',
    ),
    correction: database.prepare(
      'insert into correction (boot, uptime_ms, wall_ms, delta_ms, sweeps) values (?, ?, ?, ?, ?)',
    ),
    corrected: database.prepare('update correction set sweeps = ? where id = ?'),
    anchor: database.prepare('select wall_ms, uptime_ms from anchor where boot = ?'),
    setAnchor: database.prepare(
      'insert or replace into anchor (id, boot, wall_ms, uptime_ms) values (1, ?, ?, ?)',
    ),
  };
}
