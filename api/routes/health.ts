import { Hono } from 'hono';
import { sql } from 'kysely';
import type { Db } from '../../ingest/store/database.ts';

/** `/healthz`: the process answers. `/readyz`: the database answers too. */
export function healthRoutes(db: Db): Hono {
  return new Hono()
    .get('/healthz', (c) => c.json({ status: 'ok' }))
    .get('/readyz', async (c) => {
      await sql`select 1`.execute(db);
      return c.json({ status: 'ok' });
    });
}
