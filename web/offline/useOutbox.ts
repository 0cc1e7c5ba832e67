import { useCallback, useEffect, useState } from 'preact/hooks';
import { sendOutbox, type WaitingResult, waitingResults, watchOutbox } from './outbox.ts';

const TRY_AGAIN_MS = 30_000;

/** What waits to be sent for `by`; sent when the page opens, when the network comes back, and every half minute. */
export function useOutbox(by: string, onSent: () => void): { waiting: WaitingResult[]; send: () => void } {
  const [waiting, setWaiting] = useState(() => waitingResults(by));
  const send = useCallback(() => {
    void sendOutbox(by).then((sent) => sent && onSent());
  }, [by, onSent]);

  useEffect(() => watchOutbox(() => setWaiting(waitingResults(by))), [by]);
  useEffect(() => {
    send();
    addEventListener('online', send);
    const timer = setInterval(() => waitingResults(by).length > 0 && send(), TRY_AGAIN_MS);
    return () => {
      removeEventListener('online', send);
      clearInterval(timer);
    };
  }, [by, send]);
  return { waiting, send };
}
