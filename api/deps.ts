import type pg from 'pg';
import type { Logger } from 'pino';
import type { Db } from '../ingest/store/database.ts';
import type { NotifyConfig } from './config.ts';
import type { Enqueue } from './jobs/jobQueue.ts';

/** What every route is given; a test passes its own. */
export interface Deps {
  readonly db: Db;
  readonly pool: pg.Pool;
  /** Wall clock, milliseconds since 1970-01-01 UTC. */
  readonly now: () => number;
  readonly log: Logger;
  readonly enqueue: Enqueue;
  /** Public base address, without a slash at its end. */
  readonly origin: string;
  /** Seals what the database must not show. */
  readonly secret: string;
  readonly notify: NotifyConfig;
}
