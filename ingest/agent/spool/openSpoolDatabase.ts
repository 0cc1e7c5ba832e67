import { mkdirSync, renameSync } from 'node:fs';
import path from 'node:path';
import { DatabaseSync } from 'node:sqlite';
import { ProbeError } from '../../probe/probeError.ts';

const BUSY_TIMEOUT_MS = 5_000;

const TABLES = `
  create table if not exists sweep (
    id integer primary key autoincrement,
    point text not null,
    instrument text not null,
    at_ms integer not null,
    body text not null,                 -- the contract's JSON without point, at and instrument
    bytes integer not null,
    boot text,                          -- run of the machine whose clock gave the time; null: the instrument's own
    uptime_ms integer,
    original_at_ms integer,             -- the time before the first correction
    is_tried integer not null default 0,-- it was sent, and whether the server stored it is not known
    failures integer not null default 0,
    unique (point, at_ms, instrument)
  ) strict;
  create index if not exists sweep_order on sweep (failures, id);
  create index if not exists sweep_depth on sweep (at_ms, bytes);
  create table if not exists refused (
    id integer primary key,
    point text not null,
    instrument text not null,
    at_ms integer not null,
    body text not null,
    bytes integer not null,
    boot text,
    uptime_ms integer,
    original_at_ms integer,
    path text not null,
    reason text not null,
    refused_at_ms integer not null
  ) strict;
  create table if not exists thinned (
    point text not null,
    left_over text not null,
    sweeps integer not null,
    from_ms integer not null,
    to_ms integer not null,
    primary key (point, left_over)
  ) strict;
  create table if not exists correction (
    id integer primary key,
    boot text not null,
    uptime_ms integer not null,
    wall_ms integer not null,
    delta_ms integer not null,
    sweeps integer not null
  ) strict;
  create table if not exists anchor (
    id integer primary key check (id = 1),
    boot text not null,
    wall_ms integer not null,
    uptime_ms integer not null
  ) strict;
`;

/** SQLite's result codes for a file that is no whole database. */
const CORRUPT_CODES = new Set([11, 26]);

/**
 * The spool's database, made when it isn't there. WAL with a sync at each commit: what was committed outlives a
 * killed process and a power cut. A file that can't be read any more is put aside and told of by `say`.
 */
export function openSpoolDatabase(folder: string, say: (line: string) => void): DatabaseSync {
  const file = path.join(folder, 'spool.db');
  try {
    mkdirSync(folder, { recursive: true, mode: 0o700 });
    return open(file);
  } catch (error) {
    if (!isCorrupt(error)) throw unusable(folder, error);
    const aside = `${file}.unreadable-${new Date().toISOString().replaceAll(':', '')}`;
    for (const suffix of ['-wal', '-shm', '']) moveIfThere(file + suffix, aside + suffix);
    say(`the spool ${file} can’t be read and was put aside as ${aside}; a new one is begun`);
    return open(file);
  }
}

/** A spool that lives as long as the process, for the time in which the disk takes nothing. */
export function openMemoryDatabase(): DatabaseSync {
  const database = new DatabaseSync(':memory:');
  database.exec(TABLES);
  return database;
}

function open(file: string): DatabaseSync {
  const database = new DatabaseSync(file, { timeout: BUSY_TIMEOUT_MS });
  // A sweep of 135 channels is 2.3 kB of text: one to a page of 4 kB, three to one of 8.
  database.exec('pragma page_size = 8192');
  database.exec('pragma journal_mode = wal');
  database.exec('pragma synchronous = full');
  const check = database.prepare('pragma quick_check').get() as { quick_check: string };
  if (check.quick_check !== 'ok') {
    database.close();
    throw Object.assign(new Error(check.quick_check), { errcode: 11 });
  }
  database.exec(TABLES);
  return database;
}

function isCorrupt(error: unknown): boolean {
  return error instanceof Error && 'errcode' in error && CORRUPT_CODES.has(Number(error.errcode));
}

function unusable(folder: string, cause: unknown): ProbeError {
  const reason = cause instanceof Error ? cause.message : String(cause);
  return new ProbeError(
    'usage',
    `the spool folder ${folder} can’t be used: ${reason}`,
    'check spool.folder, that this user may write there, and that its disk isn’t full',
    { cause },
  );
}

function moveIfThere(from: string, to: string): void {
  try {
    renameSync(from, to);
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code !== 'ENOENT') throw error;
  }
}
