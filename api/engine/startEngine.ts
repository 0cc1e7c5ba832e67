import { once } from 'node:events';
import path from 'node:path';
import { Worker } from 'node:worker_threads';
import type { Logger } from 'pino';

export const STOP = 'stop';
const RESTART_AFTER_MS = 2000;
/** Most of what a sweep leaves behind is garbage at once: with room for a whole pass hardly any of it is copied. */
const YOUNG_GENERATION_MB = 64;

/** What the thread is given. */
export interface EngineThreadData {
  readonly url: string;
  readonly logLevel: string;
}

export interface RunningEngine {
  /** Resolves when the thread has ended after finishing what it was at. */
  stop(): Promise<void>;
}

/** Runs the engine in a thread of its own on the database at `url`; a thread that dies is started again. */
export function startEngine({ url, log }: { url: string; log: Logger }): RunningEngine {
  let stopping = false;
  let restart: NodeJS.Timeout | undefined;
  let worker = start();

  function start(): Worker {
    const workerData: EngineThreadData = { url, logLevel: log.level };
    const started = new Worker(path.join(import.meta.dirname, 'main.ts'), {
      workerData,
      resourceLimits: { maxYoungGenerationSizeMb: YOUNG_GENERATION_MB },
    });
    started.on('error', (err) => log.error({ err }, 'the engine thread failed and is started again'));
    started.on('exit', () => {
      if (stopping) return;
      restart = setTimeout(() => {
        worker = start();
      }, RESTART_AFTER_MS);
    });
    return started;
  }

  return {
    async stop() {
      stopping = true;
      clearTimeout(restart);
      if (worker.threadId === -1) return;
      const ended = once(worker, 'exit');
      worker.postMessage(STOP);
      await ended;
    },
  };
}
