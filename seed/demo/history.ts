import { type ContractSweep, contractSweep } from '../../ingest/probe/contractSweep.ts';
import type { DemoSite } from '../fleet/demoFleet.ts';
import { seedFrom } from '../simulator/random.ts';
import { type Pace, sweepTimes } from '../simulator/schedule.ts';
import type { Simulator } from '../simulator/simulator.ts';

const SWEEPS_IN_BATCH = 1200;
/** Points are swept one after the other, and no two buildings at the same second. */
const BETWEEN_POINTS_MS = 20_000;
const LONGEST_DELAY_S = 600;

/** The sweeps of a building at the given paces, in batches and in the order of time. */
export function* historyBatches(
  site: DemoSite,
  simulator: Simulator,
  paces: readonly Pace[],
): Generator<ContractSweep[]> {
  const delayMs = 1000 * (seedFrom('delay', site.name) % LONGEST_DELAY_S);
  let batch: ContractSweep[] = [];
  for (const atMs of sweepTimes(paces, delayMs)) {
    batch.push(...sweepsOf(site, simulator, atMs, BETWEEN_POINTS_MS));
    if (batch.length < SWEEPS_IN_BATCH) continue;
    yield batch;
    batch = [];
  }
  if (batch.length > 0) yield batch;
}

/** One round over the points of a building, as the contract has it; what goes missing is left out. */
export function sweepsOf(
  site: DemoSite,
  simulator: Simulator,
  atMs: number,
  betweenPointsMs: number,
): ContractSweep[] {
  return site.points.flatMap(({ name }, index) => {
    const sweep = simulator.sweep(name, atMs + index * betweenPointsMs);
    return sweep ? [contractSweep(name, sweep)] : [];
  });
}
