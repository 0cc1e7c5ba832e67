import { useCallback, useEffect, useRef, useState } from 'preact/hooks';
import type { Verdict } from '../../../api/schemas/common.ts';
import type { FleetPage, FleetRow } from '../../../api/schemas/fleet.ts';
import { get, withQuery } from '../../client.ts';
import { paths } from '../../paths.ts';

const PAGE_ROWS = 100;
const REFRESH_MS = 60_000;

export interface FleetQuestion {
  readonly search: string;
  readonly verdict: Verdict | null;
}

export interface FleetPages {
  /** The newest page that came in, for its totals; null until the first. */
  readonly page: FleetPage | null;
  readonly error: Error | null;
  readonly rowAt: (index: number) => FleetRow | null;
  /** Ask for the pages that hold rows `first` to `end`. */
  readonly want: (first: number, end: number) => void;
  readonly reload: () => void;
}

interface Held {
  readonly key: string;
  readonly page: FleetPage | null;
  readonly rows: ReadonlyMap<number, readonly FleetRow[]>;
  readonly error: Error | null;
}

/** Pages of the ranked list, fetched as they come into view; old rows stay until new ones are there. */
export function useFleetPages({ search, verdict }: FleetQuestion): FleetPages {
  const key = `${verdict ?? ''} ${search}`;
  const [held, setHeld] = useState<Held>({ key: '', page: null, rows: new Map(), error: null });
  const asked = useRef(new Set<number>());
  const abort = useRef(new AbortController());

  const fetchPage = useCallback(
    async (number: number, fresh: boolean) => {
      asked.current.add(number);
      const { signal } = abort.current;
      const query = { search, verdict, offset: number * PAGE_ROWS, limit: PAGE_ROWS };
      try {
        const page = await get<FleetPage>(withQuery(paths.fleet, query), signal);
        if (signal.aborted) return;
        setHeld((old) => {
          const rows = old.key === key && !fresh ? new Map(old.rows) : new Map<number, readonly FleetRow[]>();
          return { key, page, rows: rows.set(number, page.rows), error: null };
        });
      } catch (error) {
        asked.current.delete(number);
        if (!signal.aborted) setHeld((old) => ({ ...old, error: error as Error }));
      }
    },
    [search, verdict, key],
  );

  const reload = useCallback(() => {
    abort.current.abort();
    abort.current = new AbortController();
    asked.current = new Set();
    void fetchPage(0, true);
  }, [fetchPage]);

  useEffect(() => {
    reload();
    const timer = setInterval(
      () => document.visibilityState === 'visible' && scrollY === 0 && reload(),
      REFRESH_MS,
    );
    return () => {
      clearInterval(timer);
      abort.current.abort();
    };
  }, [reload]);

  const want = useCallback(
    (first: number, end: number) => {
      if (held.key !== key || end <= first) return;
      const lastPage = Math.floor((end - 1) / PAGE_ROWS);
      for (let number = Math.floor(first / PAGE_ROWS); number <= lastPage; number++) {
        if (!asked.current.has(number)) void fetchPage(number, false);
      }
    },
    [held.key, key, fetchPage],
  );

  const rowAt = useCallback(
    (index: number) => held.rows.get(Math.floor(index / PAGE_ROWS))?.[index % PAGE_ROWS] ?? null,
    [held.rows],
  );

  return { page: held.page, error: held.error, rowAt, want, reload };
}
