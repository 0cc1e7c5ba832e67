import type { Queue } from 'pg-boss';
import type { Deps } from '../deps.ts';

/** Puts a piece of work in the queue `name`; `key` stands for it while it waits, so that a second one of the same key is dropped. */
export type Enqueue = (
  name: string,
  data: object,
  options?: { readonly key?: string; readonly after?: Date },
) => Promise<void>;

/** One kind of work that waits in PostgreSQL until some server with the role `jobs` does it. */
export interface JobQueue<Data extends object = object> {
  readonly name: string;
  /** Retries, time-outs, retention: pg-boss's own options. */
  readonly options?: Omit<Queue, 'name'>;
  /** Cron expression, UTC: one empty job at each of its moments, whatever the number of servers. */
  readonly cron?: string;
  /** Jobs at once in one server; 1 unless set. */
  readonly atOnce?: number;
  /** Seconds between looks for new jobs; 2 unless set. */
  readonly lookEveryS?: number;
  /** May run again for the same job after a crash, so it must be harmless when repeated. Throws: tried again as `options` say. */
  handle(deps: Deps, data: Data, signal: AbortSignal): Promise<void>;
}
