import { useEffect, useRef, useState } from 'preact/hooks';
import type { TypedDraft, TypedVerdict } from '../../../api/schemas/typedReadings.ts';
import { put, RequestFailure } from '../../client.ts';

const SETTLE_MS = 250;
const RETRY_MS = 4_000;

export interface Judged {
  /** Of the newest draft that was answered; null before the first. */
  readonly verdict: TypedVerdict | null;
  /** There is no way to the server just now; it is tried again and again. */
  readonly isAway: boolean;
  readonly error: Error | null;
  /** Stops sending, once what was under way has arrived. */
  readonly stop: () => Promise<void>;
}

/** Sends a draft whenever it changes, so that others see it, and answers what the figures say. */
export function useJudged(path: string, draft: TypedDraft, isWorthSending: boolean): Judged {
  const [state, setState] = useState<{ verdict: TypedVerdict | null; error: Error | null }>({
    verdict: null,
    error: null,
  });
  const [turn, setTurn] = useState(0);
  // One after another: an older draft that arrives last would stand for the newest.
  const last = useRef<Promise<void>>(Promise.resolve());
  const stopped = useRef(false);
  const body = JSON.stringify(draft);

  useEffect(() => {
    if (!isWorthSending || stopped.current) return;
    let isOver = false;
    let retry: ReturnType<typeof setTimeout> | undefined;
    const settle = setTimeout(() => {
      last.current = last.current.then(async () => {
        if (isOver || stopped.current) return;
        try {
          const verdict = await put<TypedVerdict>(path, JSON.parse(body));
          if (!isOver) setState({ verdict, error: null });
        } catch (error) {
          if (isOver) return;
          setState((old) => ({ ...old, error: error as Error }));
          retry = setTimeout(() => setTurn((n) => n + 1), RETRY_MS);
        }
      });
    }, SETTLE_MS);
    return () => {
      isOver = true;
      clearTimeout(settle);
      clearTimeout(retry);
    };
  }, [path, body, isWorthSending, turn]);

  useEffect(() => {
    const again = () => setTurn((n) => n + 1);
    addEventListener('online', again);
    return () => removeEventListener('online', again);
  }, []);

  const isAway =
    state.error instanceof RequestFailure && (state.error.status === 0 || state.error.status === 503);
  return {
    verdict: state.verdict,
    isAway,
    error: isAway ? null : state.error,
    stop: () => {
      stopped.current = true;
      return last.current;
    },
  };
}
