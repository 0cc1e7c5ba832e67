import type { Sweep } from '../sweep.ts';

/** A sweep as `POST /ingest/sweeps` takes it: the wire names of contract version 1. */
export interface ContractSweep {
  readonly point: string;
  /** ISO 8601, UTC. */
  readonly at: string;
  readonly instrument: string;
  readonly ambient_c?: number;
  readonly freq_mhz: readonly number[];
  readonly level_dbmv: readonly (number | null)[];
  readonly mer_db?: readonly (number | null)[];
  readonly cnr_db?: readonly (number | null)[];
  readonly ber_pre?: readonly (number | null)[];
  readonly ber_post?: readonly (number | null)[];
  readonly lost?: readonly number[];
}

/** The sweep under the name of its point; what was not measured at all is left out. */
export function contractSweep(point: string, sweep: Sweep): ContractSweep {
  return {
    point,
    at: new Date(sweep.atMs).toISOString(),
    instrument: sweep.instrument,
    ...(sweep.ambientC !== null && { ambient_c: sweep.ambientC }),
    freq_mhz: sweep.freqMhz,
    level_dbmv: sweep.levelDbmv,
    ...(sweep.merDb !== null && { mer_db: sweep.merDb }),
    ...(sweep.cnrDb !== null && { cnr_db: sweep.cnrDb }),
    ...(sweep.berPre !== null && { ber_pre: sweep.berPre }),
    ...(sweep.berPost !== null && { ber_post: sweep.berPost }),
    ...(sweep.lostMhz.length > 0 && { lost: sweep.lostMhz }),
  };
}
