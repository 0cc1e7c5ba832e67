import { SCENARIOS } from '../scenarios/index.ts';
import type { ScenarioFault } from '../scenarios/scenario.ts';
import { ORDINARY_METER } from '../simulator/defaults.ts';
import type { Fault } from '../simulator/fault.ts';
import type { InstrumentPeriod, SimulatedSite } from '../simulator/plant.ts';
import { gaussianAt, seedFrom } from '../simulator/random.ts';
import { type DemoPoint, layOut } from './layouts.ts';
import { demoPlans, type PlanName } from './plans.ts';
import { PROVIDERS } from './providers.ts';
import { ROSTER, type RosterEntry } from './roster.ts';
import { TOWNS, type Town } from './towns.ts';

const DAY_MS = 86_400_000;
const FLEET_SEED = 20_260_301;
const BIAS_LIMIT_DB = 1;

/** One building: what the set-up pages are told, and what makes its sweeps. */
export interface DemoSite {
  readonly name: string;
  readonly town: Town;
  readonly provider: PlanName;
  readonly outlets: number;
  readonly points: readonly DemoPoint[];
  readonly simulated: SimulatedSite;
}

/** All buildings of the demo as they stand when their history begins at `originMs` less 120 days. */
export function demoFleet(originMs: number): DemoSite[] {
  const plans = demoPlans(originMs);
  return ROSTER.map((entry, index) => {
    const stories = SCENARIOS.filter(({ sites }) => sites.includes(entry.name));
    const outletCable = stories.find((story) => story.outletCable)?.outletCable ?? 'conditioned';
    const points = layOut(entry.layout, entry.name, entry.outlets, outletCable);
    const town = TOWNS[entry.town];
    return {
      ...entry,
      town,
      points,
      simulated: {
        seed: FLEET_SEED,
        name: entry.name,
        climate: town.climate,
        feed: PROVIDERS[entry.provider].feed,
        lineUps: plans[entry.provider].versions,
        points,
        instruments: instruments(entry, index, originMs),
        meter: ORDINARY_METER,
        faults: stories.flatMap(({ faults }) => (faults ?? []).map((fault) => dated(fault, originMs))),
      },
    };
  });
}

function instruments(entry: RosterEntry, index: number, originMs: number): InstrumentPeriod[] {
  const seed = seedFrom(FLEET_SEED, 'instrument', entry.name);
  const number = String(index + 1).padStart(2, '0');
  const first: InstrumentPeriod = {
    instrument: `probe-${number}`,
    fromMs: 0,
    levelBiasDb: bias(0.35 * gaussianAt(seed, 0)),
    tiltBiasDb: bias(0.15 * gaussianAt(seed, 1)),
    merBiasDb: bias(0.25 * gaussianAt(seed, 2)),
  };
  const swap = SCENARIOS.find(({ sites }) => sites.includes(entry.name))?.instrumentSwap;
  if (!swap) return [first];
  const { daysAgo, ...biases } = swap;
  return [first, { ...biases, instrument: `probe-${number}-b`, fromMs: originMs - daysAgo * DAY_MS }];
}

function bias(valueDb: number): number {
  return Math.max(-BIAS_LIMIT_DB, Math.min(BIAS_LIMIT_DB, valueDb));
}

function dated({ onsetDaysAgo, endDaysAgo, ...fault }: ScenarioFault, originMs: number): Fault {
  return {
    ...fault,
    onsetMs: originMs - onsetDaysAgo * DAY_MS,
    endMs: endDaysAgo === null ? null : originMs - endDaysAgo * DAY_MS,
  };
}
