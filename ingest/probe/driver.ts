import type { Sweep } from '../sweep.ts';

/** An instrument that can be asked for a sweep: one module for each kind of instrument. */
export interface Driver {
  /**
   * Takes one reading and changes nothing on the instrument. Levels in dBmV, MER in dB, frequencies
   * rising in MHz; what the instrument did not measure is `null`. Throws a ProbeError of kind
   * `instrument` when there is no reading to be had, or the signal's reason when it is aborted.
   */
  read(signal: AbortSignal): Promise<Sweep>;
}
