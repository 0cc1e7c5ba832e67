import type { DatabaseSync } from 'node:sqlite';

/** A reading that somebody asks of the running agent, out of turn. */
export interface Wish {
  readonly id: number;
  readonly point: string;
}

/** What came of it: the exit code for the asker, and lines for a person. */
export interface WishAnswer {
  readonly exitCode: number;
  readonly told: string;
}

/** The table through which `--read-now` and the running agent speak. */
export function createWishes(database: DatabaseSync) {
  database.exec(`
    create table if not exists wish (
      id integer primary key autoincrement,
      point text not null,
      is_taken integer not null default 0,
      exit_code integer,
      told text
    ) strict`);
  return {
    ask(point: string): number {
      return Number(database.prepare('insert into wish (point) values (?)').run(point).lastInsertRowid);
    },
    /** Each wish once. */
    take(): Wish[] {
      const wishes = database
        .prepare('select id, point from wish where not is_taken')
        .all() as unknown as Wish[];
      if (wishes.length > 0) database.exec('update wish set is_taken = 1');
      return wishes;
    },
    answer(id: number, { exitCode, told }: WishAnswer): void {
      database.prepare('update wish set exit_code = ?, told = ? where id = ?').run(exitCode, told, id);
    },
    /** The answer, taken away; null while there is none. */
    answerTo(id: number): WishAnswer | null {
      const row = database.prepare('select exit_code, told from wish where id = ?').get(id) as
        | { exit_code: number | null; told: string | null }
        | undefined;
      if (row === undefined || row.exit_code === null) return null;
      database.prepare('delete from wish where id = ?').run(id);
      return { exitCode: row.exit_code, told: row.told ?? '' };
    },
    /** At the start: nobody waits any more for what was asked of the one before. */
    forget(): void {
      database.exec('delete from wish');
    },
  };
}
export type Wishes = ReturnType<typeof createWishes>;
