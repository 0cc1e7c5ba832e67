import { useEffect, useState } from 'preact/hooks';
import type { ProbeRuns, ProbeRunView, ReadingAsked } from '../../../api/schemas/probes.ts';
import { get, post, withQuery } from '../../client.ts';
import { paths } from '../../paths.ts';

const LOOK_EVERY_MS = 1000;
/** Longer than any time-out of a probe. */
const GIVE_UP_MS = 180_000;

export type Reading =
  | { readonly state: 'none' }
  | { readonly state: 'waiting' }
  | { readonly state: 'over'; readonly run: ProbeRunView }
  | { readonly state: 'nobody' }
  | { readonly state: 'broken'; readonly error: Error };

/** A reading out of turn: asked for, waited for, and what came of it. One that was asked for at `awaited` is waited for at once. */
export function useReading(siteId: number, probeId: number, awaited: string | null, onOver: () => void) {
  const [askedAt, setAskedAt] = useState(awaited);
  const [reading, setReading] = useState<Reading>({ state: awaited === null ? 'none' : 'waiting' });

  const ask = async () => {
    setReading({ state: 'waiting' });
    try {
      const asked = await post<ReadingAsked>(paths.probeReadings(siteId, probeId), {});
      setAskedAt(asked.askedAt);
    } catch (error) {
      setReading({ state: 'broken', error: error as Error });
    }
  };

  useEffect(() => {
    if (askedAt === null) return;
    const sinceMs = Date.now();
    const abort = new AbortController();
    const over = (result: Reading) => {
      setAskedAt(null);
      setReading(result);
      onOver();
    };
    const look = async () => {
      const path = withQuery(paths.probeRuns(siteId, probeId), { limit: 1 });
      const { runs } = await get<ProbeRuns>(path, abort.signal);
      const [run] = runs;
      if (run !== undefined && run.endedAt >= askedAt) over({ state: 'over', run });
      else if (Date.now() - sinceMs > GIVE_UP_MS) over({ state: 'nobody' });
    };
    const timer = setInterval(
      () => look().catch((error) => !abort.signal.aborted && over({ state: 'broken', error })),
      LOOK_EVERY_MS,
    );
    return () => {
      clearInterval(timer);
      abort.abort();
    };
  }, [askedAt, siteId, probeId]);

  return { reading, ask };
}
