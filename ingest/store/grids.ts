import { sql } from 'kysely';
import type { Db } from './database.ts';

const MAX_CACHED = 20_000;

/**
 * Frequency lists are stored once a site. This remembers the ids of those it has seen, dropping the ones that were
 * remembered first when there are too many.
 */
export function createGrids(db: Db): {
  /** Ids of the lists, in their order. */
  idsOf(siteId: number, lists: readonly (readonly number[])[]): Promise<number[]>;
} {
  const cache = new Map<string, number>();

  async function idOf(siteId: number, freqHz: readonly number[]): Promise<number> {
    const key = `${siteId}:${freqHz.join(',')}`;
    const cached = cache.get(key);
    if (cached !== undefined) return cached;
    const id = await findOrInsert(db, siteId, freqHz);
    if (cache.size >= MAX_CACHED) cache.delete(cache.keys().next().value!);
    cache.set(key, id);
    return id;
  }

  return {
    async idsOf(siteId, lists) {
      const ids: number[] = [];
      for (const [i, list] of lists.entries()) {
        // An instrument sends the same list again and again: comparing costs a fraction of making its key.
        const before = lists[i - 1];
        const isSame = before !== undefined && areEqual(list, before);
        ids.push(isSame ? ids[i - 1]! : await idOf(siteId, list));
      }
      return ids;
    },
  };
}

function areEqual(a: readonly number[], b: readonly number[]): boolean {
  return a.length === b.length && a.every((value, i) => value === b[i]);
}

async function findOrInsert(db: Db, siteId: number, freqHz: readonly number[]): Promise<number> {
  const literal = `{${freqHz.join(',')}}`;
  await sql`
    insert into grid (site_id, freq_hz) values (${siteId}, ${literal}::integer[])
    on conflict do nothing`.execute(db);
  const { rows } = await sql<{ grid_id: number }>`
    select grid_id from grid where site_id = ${siteId} and freq_hz = ${literal}::integer[]`.execute(db);
  return rows[0]!.grid_id;
}
