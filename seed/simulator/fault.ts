const DAY_MS = 86_400_000;

/**
 * The shape that a change has across the band. `sizeDb` of a fault is the change in level where the shape is
 * largest (negative is loss): everywhere for `flat`, at 1 GHz for `cable`, at 54 MHz for `low-end`, at the
 * centre of a `notch`; for `ripple` it is peak to valley, and for `noise` the change in MER.
 */
export type FaultShape =
  | { readonly kind: 'flat' }
  | { readonly kind: 'cable' }
  | { readonly kind: 'low-end' }
  | { readonly kind: 'notch'; readonly centreMhz: number; readonly widthMhz: number }
  | { readonly kind: 'ripple'; readonly delayNs: number }
  | { readonly kind: 'noise' }
  | { readonly kind: 'channels-lost'; readonly channels: readonly string[] }
  | { readonly kind: 'outage' }
  | { readonly kind: 'silence' }
  /** Dips that come and go: each spell of `spellMinutes` is a dip with probability `share`. */
  | { readonly kind: 'loose-contact'; readonly share: number; readonly spellMinutes: number };

/** What went wrong, in the trade's words. */
export type FaultCause =
  | 'splitter changed'
  | 'amplifier losing gain'
  | 'water in cable'
  | 'corroded contact'
  | 'suck-out'
  | 'echo from a damaged cable'
  | 'amplifier noise'
  | 'modulator off'
  | 'provider feed low'
  | 'power off'
  | 'loose connector'
  | 'probe dead';

/**
 * Before the handoff, or in the hop that ends at a named point: at its entry, before its cable and gear, or at
 * its exit behind them. The end matters where gear adds noise or corrects itself.
 */
export type FaultPlace = 'provider' | { readonly hopTo: string; readonly end: 'entry' | 'exit' };

/** A change planted in the plant, and so the truth that the engine's conclusions are held against. */
export interface Fault {
  readonly cause: FaultCause;
  readonly shape: FaultShape;
  readonly place: FaultPlace;
  readonly onsetMs: number;
  /** When somebody repaired it; null while it lasts. */
  readonly endMs: number | null;
  readonly sizeDb: number;
  /** Days over which the size grows in a straight line; 0 is a step. */
  readonly overDays: number;
}

/** Change that `fault` has reached at `atMs`, dB; 0 outside its time. */
export function faultSizeDb(fault: Fault, atMs: number): number {
  if (!isPresent(fault, atMs)) return 0;
  if (fault.overDays === 0) return fault.sizeDb;
  return fault.sizeDb * Math.min(1, (atMs - fault.onsetMs) / (fault.overDays * DAY_MS));
}

/** Whether the fault is there at `atMs`, however small. */
export function isPresent(fault: Fault, atMs: number): boolean {
  return atMs >= fault.onsetMs && (fault.endMs === null || atMs < fault.endMs);
}
