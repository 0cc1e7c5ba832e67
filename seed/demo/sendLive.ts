import { setMaxListeners } from 'node:events';
import { setTimeout } from 'node:timers/promises';
import { sendSweeps } from '../../ingest/probe/sendSweeps.ts';
import { createSimulator, type Simulator } from '../simulator/simulator.ts';
import { sweepsOf } from './history.ts';
import type { SetUpSite } from './setUpFleet.ts';

const ROUND_MS = 60_000;

export type KeyedSite = SetUpSite & { readonly key: string };

/**
 * Sends a sweep of every point once a minute with its site's key, through the same endpoint that a box in the
 * field uses, the buildings spread over the minute. Goes on until `signal`; what fails is told, and tried again a
 * minute later.
 */
export async function sendLive(
  origin: string,
  sites: readonly KeyedSite[],
  signal: AbortSignal,
  onTrouble: (message: string) => void,
): Promise<void> {
  const url = new URL(origin);
  // Every building waits on the signal by itself.
  setMaxListeners(0, signal);

  const sendSite = async (keyed: KeyedSite, delayMs: number) => {
    const simulator = createSimulator(keyed.site.simulated);
    await pause(delayMs, signal);
    while (!signal.aborted) {
      await sendRound(url, keyed, simulator, signal, onTrouble);
      await pause(ROUND_MS, signal);
    }
  };
  await Promise.all(sites.map((keyed, index) => sendSite(keyed, (index * ROUND_MS) / sites.length)));
}

async function sendRound(
  url: URL,
  { site, key }: KeyedSite,
  simulator: Simulator,
  signal: AbortSignal,
  onTrouble: (message: string) => void,
): Promise<void> {
  const sweeps = sweepsOf(site, simulator, Date.now(), 0);
  if (sweeps.length === 0) return;
  try {
    const { rejected } = await sendSweeps({ url, key }, sweeps, signal);
    for (const { path, reason } of rejected) onTrouble(`${site.name}: ${path} ${reason}`);
  } catch (error) {
    if (!signal.aborted) onTrouble(`${site.name}: ${(error as Error).message}`);
  }
}

/** Ends early, without an error, when `signal` does. */
async function pause(delayMs: number, signal: AbortSignal): Promise<void> {
  await setTimeout(delayMs, undefined, { signal }).catch(() => {});
}
