import { useState } from 'preact/hooks';
import { RequestFailure } from './client.ts';

export interface Submission {
  readonly busy: boolean;
  readonly error: Error | null;
  /** What the server said of single fields, by path. */
  readonly fields: Readonly<Record<string, string>>;
  /** Runs `work`; true when it went through. */
  readonly run: (work: () => Promise<unknown>) => Promise<boolean>;
}

/** One thing being sent: busy while it is under way, and what the server said against it. */
export function useSubmit(): Submission {
  const [busy, setBusy] = useState(false);
  const [error, setError] = useState<Error | null>(null);
  const run = async (work: () => Promise<unknown>): Promise<boolean> => {
    setBusy(true);
    setError(null);
    try {
      await work();
      return true;
    } catch (failure) {
      setError(failure as Error);
      return false;
    } finally {
      setBusy(false);
    }
  };
  return { busy, error, fields: error instanceof RequestFailure ? error.fields : {}, run };
}
