import type { Fault } from '../../seed/simulator/fault.ts';
import type { EvaluatedLayout } from './settings.ts';

/** What is planted at a site and what should be said of it. */
export interface Truth {
  readonly fault: Fault;
  /** Point at which the faulty hop ends; `handoff` for the provider's part. */
  readonly hop: string;
  readonly side: 'provider' | 'building';
  /** Causes that an RF engineer would accept from these readings, the likeliest first. */
  readonly causes: readonly string[];
  /** Hops that may be named for it: two where early readings hardly tell them apart. */
  readonly mayName: 1 | 2;
}

/** How a fault comes, which says how an oracle looks for it. */
export type Nature = 'step' | 'ramp' | 'loss' | 'dips';

/** A hop that a fault may sit in. */
export interface CasePoint {
  readonly name: string;
  readonly kind: string;
}

/** The building as far as a fault needs to know it. */
export interface CaseSite {
  /** Each after the point that feeds it, the handoff first. */
  readonly points: readonly CasePoint[];
  /** RF channels carried. */
  readonly channels: readonly string[];
}

/** One row of the table: a kind and size of fault, planted at a place and time of the site's own. */
export interface Row {
  readonly name: string;
  readonly family: string;
  readonly nature: Nature;
  /** Buildings in which it is tried, in turn; the setting's own where null. */
  readonly layouts: readonly EvaluatedLayout[] | null;
  plant(site: CaseSite, onsetMs: number, uniform: () => number): readonly Truth[];
}
