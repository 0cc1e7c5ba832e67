import { setTimeout as sleep } from 'node:timers/promises';
import type { Logger } from 'pino';
import type { EngineDeps } from './advanceSite.ts';
import { emptyMemory, runEnginePass } from './runEnginePass.ts';

const IDLE_MS = 300;
/** A pass costs most by the site and little by the sweep, so passes begin no closer together than this and take more sweeps each. */
const PASS_EVERY_MS = 1000;
const AFTER_TROUBLE_MS = 3000;

export interface EngineLoopDeps extends EngineDeps {
  readonly now: () => number;
  readonly log: Pick<Logger, 'warn'>;
}

/**
 * Takes in what arrives until `signal` is aborted; resolves when the pass in progress has ended. Trouble, such as a database that is
 * away, is logged and tried again.
 */
export async function runEngine(deps: EngineLoopDeps, signal: AbortSignal): Promise<void> {
  const memory = emptyMemory();
  while (!signal.aborted) {
    let waitMs = IDLE_MS;
    const begunMs = performance.now();
    try {
      const { sites } = await runEnginePass(deps, { nowMs: deps.now(), signal, memory });
      if (sites > 0) waitMs = Math.max(0, PASS_EVERY_MS - (performance.now() - begunMs));
    } catch (err) {
      deps.log.warn({ err }, 'the engine could not finish a pass and tries again');
      waitMs = AFTER_TROUBLE_MS;
    }
    if (waitMs > 0) await sleep(waitMs, undefined, { signal }).catch(() => {});
  }
}
