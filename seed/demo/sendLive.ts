import { setTimeout } from 'node:timers/promises';
import { sendSweeps } from '../../ingest/probe/sendSweeps.ts';
import { createSimulator } from '../simulator/simulator.ts';
import { sweepsOf } from './history.ts';
import type { SetUpSite } from './setUpFleet.ts';

const ROUND_MS = 60_000;

/**
 * Sends a sweep of every point once a minute with its site's key, through the same endpoint that a box in the
 * field uses, building after building. Goes on until `signal`; a round that fails is told and the next one tried.
 */
export async function sendLive(
  origin: string,
  sites: readonly (SetUpSite & { readonly key: string })[],
  signal: AbortSignal,
  onTrouble: (message: string) => void,
): Promise<void> {
  const url = new URL(origin);
  const simulators = new Map(sites.map(({ siteId, site }) => [siteId, createSimulator(site.simulated)]));
  const pauseMs = ROUND_MS / sites.length;

  while (!signal.aborted) {
    for (const { siteId, site, key } of sites) {
      await setTimeout(pauseMs, undefined, { signal }).catch(() => {});
      if (signal.aborted) return;
      const sweeps = sweepsOf(site, simulators.get(siteId)!, Date.now(), 0);
      if (sweeps.length === 0) continue;
      try {
        const { rejected } = await sendSweeps({ url, key }, sweeps, signal);
        for (const { path, reason } of rejected) onTrouble(`${site.name}: ${path} ${reason}`);
      } catch (error) {
        if (!signal.aborted) onTrouble(`${site.name}: ${(error as Error).message}`);
      }
    }
  }
}
