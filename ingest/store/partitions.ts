import { sql } from 'kysely';
import type { Db } from './database.ts';

const LOCK_KEY = 7_305_1;
const READING_COLUMNS = ['level_cdbmv', 'mer_cdb', 'cnr_cdb', 'ber_pre', 'ber_post', 'lost_hz'] as const;

/** A month of event time as whole months since year 0, UTC. */
function monthOf(atMs: number): number {
  const date = new Date(atMs);
  return date.getUTCFullYear() * 12 + date.getUTCMonth();
}

function monthStart(month: number): Date {
  return new Date(Date.UTC(Math.floor(month / 12), month % 12, 1));
}

function partitionName(month: number): string {
  const start = monthStart(month);
  return `sweep_${start.getUTCFullYear()}_${String(start.getUTCMonth() + 1).padStart(2, '0')}`;
}

/**
 * Sees to it that sweeps at these times have a partition to go to. What this object has made sure of once it does
 * not ask again, so that the common case costs nothing.
 */
export function createPartitions(db: Db): {
  ensure(timesMs: readonly number[]): Promise<void>;
  forget(): void;
} {
  const known = new Set<number>();
  return {
    async ensure(timesMs) {
      const missing = new Set(timesMs.map(monthOf).filter((month) => !known.has(month)));
      for (const month of missing) {
        await createMonth(db, month);
        known.add(month);
      }
    },
    forget: () => known.clear(),
  };
}

async function createMonth(db: Db, month: number): Promise<void> {
  await db.transaction().execute(async (trx) => {
    // Two servers that need the same month take turns: the second finds it made.
    await sql`select pg_advisory_xact_lock(${LOCK_KEY})`.execute(trx);
    await sql`
      create table if not exists ${sql.table(partitionName(month))} partition of sweep
      for values from (${sql.lit(monthStart(month).toISOString())}) to (${sql.lit(monthStart(month + 1).toISOString())})
    `.execute(trx);
    // Nothing is looked up by a reading, and counting them takes analyze fifteen times as long as all other columns.
    for (const column of READING_COLUMNS) {
      await sql`
        alter table ${sql.table(partitionName(month))} alter column ${sql.ref(column)} set statistics 0`.execute(
        trx,
      );
    }
  });
}

/** One month of sweeps as a partition of its own. */
export interface SweepMonth {
  readonly name: string;
  readonly fromMs: number;
  readonly toMs: number;
}

/** The months of sweeps that end at or before `beforeMs`, oldest first. */
export async function monthsBefore(db: Db, beforeMs: number): Promise<SweepMonth[]> {
  const { rows } = await sql<{ name: string }>`
    select child.relname as name
    from pg_inherits
    join pg_class child on child.oid = pg_inherits.inhrelid
    where pg_inherits.inhparent = 'sweep'::regclass and child.relname < ${partitionName(monthOf(beforeMs))}
    order by child.relname`.execute(db);
  return rows.map(({ name }) => {
    const [, year, month] = name.split('_').map(Number);
    return { name, fromMs: Date.UTC(year!, month! - 1, 1), toMs: Date.UTC(year!, month!, 1) };
  });
}

/** Lets a month of sweeps go. Sweeps of that time which come later make it anew. */
export async function dropMonth(db: Db, { name }: SweepMonth): Promise<void> {
  await sql`drop table if exists ${sql.table(name)}`.execute(db);
}
