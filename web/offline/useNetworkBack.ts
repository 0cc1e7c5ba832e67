import { useEffect } from 'preact/hooks';

const LOOK_EVERY_MS = 15_000;

/** While `away`, looks again every quarter of a minute and at once when the device says it is on line, which not all devices do. */
export function useNetworkBack(away: boolean, onLook: () => void): void {
  useEffect(() => {
    if (!away) return;
    addEventListener('online', onLook);
    const timer = setInterval(onLook, LOOK_EVERY_MS);
    return () => {
      removeEventListener('online', onLook);
      clearInterval(timer);
    };
  }, [away, onLook]);
}
