import { expect, test } from 'vitest';
import { checkSweep } from '../../../ingest/contract/checkSweep.ts';
import { INGEST_LIMITS } from '../../../ingest/contract/limits.ts';
import { contractSweep } from '../../../ingest/probe/contractSweep.ts';
import { demoFleet } from '../../../seed/fleet/demoFleet.ts';
import { createSimulator } from '../../../seed/simulator/simulator.ts';

const DAY_MS = 86_400_000;
const ORIGIN_MS = Date.UTC(2026, 2, 1, 12);
/** A day before anything happens, the night without power, the days around the line-up change, and today. */
const DAYS_AGO = [110, 60, 38.1, 37.9, 25, 12, 2, 0.5, 0];

test.each(demoFleet(ORIGIN_MS).map((site) => [site.name, site] as const))(
  'every sweep of %s keeps the ingest contract',
  (_, { points, simulated }) => {
    const simulator = createSimulator(simulated);
    for (const { name } of points) {
      for (const daysAgo of DAYS_AGO) {
        const sweep = simulator.sweep(name, ORIGIN_MS - daysAgo * DAY_MS);
        if (!sweep) continue;
        const body = JSON.parse(JSON.stringify(contractSweep(name, sweep)));
        const checked = checkSweep(body, 0, ORIGIN_MS, INGEST_LIMITS);
        expect(checked).not.toHaveProperty('reason');
        expect(checked).toMatchObject({ point: name, atMs: sweep.atMs });
      }
    }
  },
);
