import type { PlannedChannel } from '../../ingest/plan/channelPlan.ts';
import { cta542 } from '../../ingest/plan/cta542.ts';
import { ORDINARY_FEED } from '../../seed/simulator/defaults.ts';
import type { Fault } from '../../seed/simulator/fault.ts';
import type { InstrumentPeriod, SimulatedSite } from '../../seed/simulator/plant.ts';
import { gaussianAt, seedFrom, uniformStream } from '../../seed/simulator/random.ts';
import type { EvaluatedSite } from './evaluatedSite.ts';
import { layOutSite } from './layOutSite.ts';
import type { EvaluatedLayout, Setting } from './settings.ts';

export const DAY_MS = 86_400_000;
const EPOCH_MS = Date.UTC(2025, 0, 1);
const BASELINE_DAYS = 3;
const SWAP_EVERY_DAYS = 240;
const LAST_SWAP_DAY = 800;
const PHASE_STEP_MS = 40_000;
const PHASE_JITTER_MS = 30_000;
const WITHOUT_THERMOMETER = 0.2;
const BIAS_LIMIT_DB = 1;

/** One simulated building: what the engine may know, and what makes its sweeps. */
export interface FleetSite {
  readonly evaluated: EvaluatedSite;
  readonly simulated: SimulatedSite;
  readonly phaseMs: ReadonlyMap<string, number>;
}

/** The building of a seed. It is the same whatever faults are planted in it later with {@link withFaults}. */
export function makeSite(
  seed: number,
  name: string,
  setting: Setting,
  index: number,
  layout?: EvaluatedLayout,
): FleetSite {
  const siteSeed = seedFrom(seed, name);
  const uniform = uniformStream(seedFrom(siteSeed, 'site'));
  const startMs = EPOCH_MS + Math.floor(365 * uniform()) * DAY_MS;
  const channels = lineUp(setting.channels);
  const climate = setting.climates[index % setting.climates.length]!;
  const points = layOutSite(layout ?? setting.layouts[index % setting.layouts.length]!, name).map((point) =>
    uniform() < WITHOUT_THERMOMETER ? { ...point, thermometer: null } : point,
  );
  const phaseMs = new Map(
    points.map(({ name: point }, place) => [
      point,
      1000 * Math.round((place * PHASE_STEP_MS + PHASE_JITTER_MS * uniform()) / 1000),
    ]),
  );
  return {
    evaluated: {
      name,
      points: points.map(({ name: point, fedBy, kind, hop }) => {
        const gear = hop.find((element) => element.kind === 'self-correcting');
        return {
          name: point,
          fedBy,
          kind,
          correctsItself: gear !== undefined,
          correctionWindowDb: gear?.windowDb ?? null,
        };
      }),
      channels,
      intervalMs: setting.intervalMs,
      startMs,
      baselineUntilMs: startMs + BASELINE_DAYS * DAY_MS,
      limits: { levelBelowDb: 6, levelAboveDb: 6, merFloorDb: 33 },
    },
    simulated: {
      seed: siteSeed,
      name,
      climate: { ...climate, name: `${climate.name} ${name} ${seed}` },
      feed: { ...ORDINARY_FEED, name: `feed ${name} ${seed}` },
      lineUps: [{ effectiveFromMs: 0, channels }],
      points,
      instruments: instruments(siteSeed, startMs, uniform),
      meter: setting.meter,
      faults: [],
    },
    phaseMs,
  };
}

export function withFaults(site: FleetSite, faults: readonly Fault[]): FleetSite {
  return { ...site, simulated: { ...site.simulated, faults } };
}

/** `count` channels spread evenly over the raster. */
function lineUp(count: number): PlannedChannel[] {
  const raster = cta542('STD');
  return Array.from({ length: count }, (_, place) => {
    const { channel, centreMhz, widthMhz } = raster[Math.round((place * (raster.length - 1)) / (count - 1))]!;
    return { channel, centreMhz, widthMhz, modulation: 'qam256', services: [] };
  });
}

/** One instrument after another, about three in two years, each with a bias of its own. */
function instruments(siteSeed: number, startMs: number, uniform: () => number): InstrumentPeriod[] {
  const periods: InstrumentPeriod[] = [];
  let fromMs = 0;
  let day = 0;
  while (day < LAST_SWAP_DAY) {
    const seed = seedFrom(siteSeed, 'instrument', periods.length);
    periods.push({
      instrument: `probe-${periods.length + 1}`,
      fromMs,
      levelBiasDb: bias(0.35 * gaussianAt(seed, 0)),
      tiltBiasDb: bias(0.15 * gaussianAt(seed, 1)),
      merBiasDb: bias(0.25 * gaussianAt(seed, 2)),
    });
    day += SWAP_EVERY_DAYS * (0.5 + uniform());
    fromMs = startMs + Math.round(day * 24) * (DAY_MS / 24);
  }
  return periods;
}

function bias(valueDb: number): number {
  return Math.max(-BIAS_LIMIT_DB, Math.min(BIAS_LIMIT_DB, valueDb));
}
