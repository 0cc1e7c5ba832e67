import { useEffect } from 'preact/hooks';

/** The browser tab names the page: `words`, or the product alone while `null` waits for its answer. */
export function useTitle(words: string | null): void {
  useEffect(() => {
    document.title = words === null ? 'Levelkeep' : `${words} – Levelkeep`;
  }, [words]);
}
