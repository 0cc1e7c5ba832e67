import { setTimeout as sleep } from 'node:timers/promises';
import { createPoller, type PollerDeps } from './poller.ts';

const LOOK_EVERY_MS = 500;
const AFTER_FAULT_MS = 5_000;

export interface RunningPolls {
  /** Begins no further reading, gives back those under way, and resolves once that is done. */
  stop(): Promise<void>;
}

/** Looks every half second for probes that are due, and reads them until it is stopped. */
export function startPolling(deps: PollerDeps): RunningPolls {
  const end = new AbortController();
  const poller = createPoller(deps, end.signal);
  const running = run();
  return {
    async stop() {
      end.abort();
      await running;
      await poller.idle();
    },
  };

  async function run(): Promise<void> {
    while (!end.signal.aborted) {
      const pauseMs = await poller.pass().then(
        () => LOOK_EVERY_MS,
        (err: unknown) => {
          deps.log.warn({ err }, 'the probes that are due could not be looked for');
          return AFTER_FAULT_MS;
        },
      );
      await sleep(pauseMs, undefined, { signal: end.signal }).catch(() => {});
    }
  }
}
