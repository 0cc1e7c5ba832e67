import { SCENARIOS } from './scenarios/index.ts';
import type { Scenario, ScenarioFault } from './scenarios/scenario.ts';

const DAY_MS = 86_400_000;

/** What was planted in the demo, in a form that a person or a test can hold conclusions against. */
export interface Truth {
  readonly name: string;
  readonly story: string;
  readonly isFault: boolean;
  readonly sites: readonly string[];
  readonly changes: readonly TrueChange[];
}

/** One change: `sizeDb` is reached after `overDays` (0 is a step); `hopTo` is the point whose hop carries it. */
export interface TrueChange {
  readonly cause: string;
  readonly kind: string;
  readonly side: 'provider' | 'building';
  readonly hopTo: string | null;
  readonly onsetAt: string;
  readonly endAt: string | null;
  readonly sizeDb: number;
  readonly overDays: number;
}

/** The truth behind the demo fleet whose history was first made at `originMs`. */
export function demoTruth(originMs: number): Truth[] {
  return SCENARIOS.map((scenario) => truthOf(scenario, originMs));
}

function truthOf({ name, story, isFault, sites, faults = [] }: Scenario, originMs: number): Truth {
  return { name, story, isFault, sites, changes: faults.map((fault) => changeOf(fault, originMs)) };
}

function changeOf(fault: ScenarioFault, originMs: number): TrueChange {
  const { cause, shape, place, sizeDb, overDays } = fault;
  const at = (daysAgo: number) => new Date(originMs - daysAgo * DAY_MS).toISOString();
  return {
    cause,
    kind: shape.kind,
    side: place === 'provider' ? 'provider' : 'building',
    hopTo: place === 'provider' ? null : place.hopTo,
    onsetAt: at(fault.onsetDaysAgo),
    endAt: fault.endDaysAgo === null ? null : at(fault.endDaysAgo),
    sizeDb,
    overDays,
  };
}
