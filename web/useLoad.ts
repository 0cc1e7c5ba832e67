import { useCallback, useEffect, useState } from 'preact/hooks';
import { get } from './client.ts';

export interface Loaded<T> {
  /** What was last loaded; stays while a newer answer is on its way. */
  readonly data: T | null;
  readonly error: Error | null;
  readonly loading: boolean;
  readonly reload: () => void;
}

/** GET `path` and again when it changes, every `everyMs` while the page is seen, or on `reload()`. */
export function useLoad<T>(path: string | null, everyMs?: number): Loaded<T> {
  const [state, setState] = useState<{ path: string | null; data: T | null; error: Error | null }>({
    path: null,
    data: null,
    error: null,
  });
  const [turn, setTurn] = useState(0);
  const reload = useCallback(() => setTurn((n) => n + 1), []);

  useEffect(() => {
    if (path === null) return;
    const abort = new AbortController();
    get<T>(path, abort.signal).then(
      (data) => !abort.signal.aborted && setState({ path, data, error: null }),
      (error: Error) =>
        !abort.signal.aborted &&
        setState((old) => ({ path, data: old.path === path ? old.data : null, error })),
    );
    return () => abort.abort();
  }, [path, turn]);

  useEffect(() => {
    if (!everyMs) return;
    const timer = setInterval(() => document.visibilityState === 'visible' && reload(), everyMs);
    return () => clearInterval(timer);
  }, [everyMs, reload]);

  return {
    data: state.data,
    error: state.path === path ? state.error : null,
    loading: state.path !== path,
    reload,
  };
}
