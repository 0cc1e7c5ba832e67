import type { Sweep } from '../../ingest/sweep.ts';
import { createSimulator } from '../../seed/simulator/simulator.ts';
import type { FleetSite } from './fleet.ts';

export interface PointSweep {
  readonly point: string;
  readonly sweep: Sweep;
}

/** The sweeps of all points of a site in order of time, from `fromMs` up to and without `toMs`. */
export function* sweepsOf(site: FleetSite, fromMs: number, toMs: number): Generator<PointSweep> {
  const simulator = createSimulator(site.simulated);
  const { intervalMs } = site.evaluated;
  const order = [...site.phaseMs].sort((a, b) => a[1] - b[1]);

  for (let roundMs = Math.floor(fromMs / intervalMs) * intervalMs; roundMs < toMs; roundMs += intervalMs) {
    for (const [point, phaseMs] of order) {
      const atMs = roundMs + phaseMs;
      if (atMs < fromMs || atMs >= toMs) continue;
      const sweep = simulator.sweep(point, atMs);
      if (sweep !== null) yield { point, sweep };
    }
  }
}
