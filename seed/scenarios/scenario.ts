import type { Fault } from '../simulator/fault.ts';
import type { InstrumentPeriod } from '../simulator/plant.ts';
import type { Surroundings } from '../simulator/weather.ts';

/**
 * A story planted in the demo fleet, and so a truth that conclusions can be held against. Times are days before
 * the moment the demo's history was first made.
 */
export interface Scenario {
  readonly name: string;
  /** What happened, and what a person should see of it. */
  readonly story: string;
  /** Whether anybody should be told; a hot ceiling or a planned change is none. */
  readonly isFault: boolean;
  /** Buildings it happens in, by name. */
  readonly sites: readonly string[];
  readonly faults?: readonly ScenarioFault[];
  readonly instrumentSwap?: InstrumentSwap;
  /** Where the building's outlet cable lies, when not in conditioned rooms. */
  readonly outletCable?: Surroundings;
}

/** A fault with its times told in days before the demo began; `endDaysAgo` null while it lasts. */
export type ScenarioFault = Omit<Fault, 'onsetMs' | 'endMs'> & {
  readonly onsetDaysAgo: number;
  readonly endDaysAgo: number | null;
};

/** A probe replaced by another with its own bias. */
export type InstrumentSwap = Pick<InstrumentPeriod, 'levelBiasDb' | 'tiltBiasDb' | 'merBiasDb'> & {
  readonly daysAgo: number;
};
