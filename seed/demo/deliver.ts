import { createAcceptSweeps } from '../../ingest/acceptSweeps.ts';
import type { ContractSweep } from '../../ingest/probe/contractSweep.ts';

/** Hands sweeps of one site to the ingest code and waits until they are stored. */
export type Deliver = (siteId: number, sweeps: readonly ContractSweep[]) => Promise<void>;

/** Delivers through the code behind the endpoint. A sweep that is refused is a fault of the demo and throws. */
export function deliverThrough(deps: Parameters<typeof createAcceptSweeps>[0], now = Date.now): Deliver {
  const accept = createAcceptSweeps(deps);
  return async (siteId, sweeps) => {
    const { rejected } = await accept(siteId, sweeps, now());
    const [first] = rejected;
    if (first)
      throw new Error(`site ${siteId}: ${rejected.length} sweeps refused; ${first.path} ${first.reason}`);
  };
}
