import type { Sweep } from '../sweep.ts';

/** A sweep as an instrument gave it. */
export interface Reading {
  readonly sweep: Sweep;
  /**
   * Uptime of this machine, milliseconds, when its clock gave the sweep its time, so that the time can be mended
   * if that clock was wrong; null when the instrument's own clock did.
   */
  readonly uptimeMs: number | null;
}

/** What one look at an instrument brought. */
export interface Taking {
  readonly readings: readonly Reading[];
  /** What was there and could not be read, in a person's words. */
  readonly refused: readonly string[];
  /** Called once the readings are in safety: what they came from may go. */
  settle(): Promise<void>;
}

/** An instrument that may have several sweeps at once, or none. */
export interface Source {
  /**
   * Takes what there is. Throws a ProbeError of kind `instrument` when there is no reading to be had, or the
   * signal's reason when it is aborted.
   */
  read(signal: AbortSignal): Promise<Taking>;
}
