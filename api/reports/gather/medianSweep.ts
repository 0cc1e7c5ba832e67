import type { Sweep } from '../../../ingest/sweep.ts';
import { type CarrierMedians, windowMedians } from '../../baseline/windowMedians.ts';

/** Several sweeps as one: the median of each carrier, which is lost where more sweeps lost it than found it. */
export interface MedianSweep {
  readonly sweep: Sweep;
  readonly carriers: readonly CarrierMedians[];
}

/**
 * The time is that of the last sweep; the instruments are named together.
 *
 * @throws RangeError for no sweeps
 */
export function medianSweep(sweeps: readonly Sweep[]): MedianSweep {
  const last = sweeps.at(-1);
  if (last === undefined) throw new RangeError('no sweeps have no medians');
  const carriers = windowMedians(sweeps);
  const measured = carriers.filter(({ levelDbmv, lost }) => levelDbmv !== null || lost === 0);
  return {
    carriers,
    sweep: {
      atMs: last.atMs,
      instrument: [...new Set(sweeps.map(({ instrument }) => instrument))].sort().join(', '),
      ambientC: null,
      freqMhz: measured.map(({ freqMhz }) => freqMhz),
      levelDbmv: measured.map(({ levelDbmv }) => levelDbmv),
      merDb: measured.map(({ merDb }) => merDb),
      cnrDb: measured.map(({ cnrDb }) => cnrDb),
      berPre: null,
      berPost: null,
      lostMhz: carriers.filter((carrier) => !measured.includes(carrier)).map(({ freqMhz }) => freqMhz),
    },
  };
}
