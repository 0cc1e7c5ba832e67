import type { Sweep } from '../../ingest/sweep.ts';
import { type Carriers, carriersOf } from './carriers.ts';
import { type Fault, faultSizeDb, isPresent } from './fault.ts';
import { addFault } from './faultShape.ts';
import { isMissingSweep, isWildSweep, measure, type Signal } from './meter.ts';
import { smoothNoise } from './noise.ts';
import type { InstrumentPeriod, SimulatedPoint, SimulatedSite } from './plant.ts';
import { gaussianAt, seedFrom } from './random.ts';
import { type Nominal, prepareStage, type Stage } from './stage.ts';
import { outdoorTemperatureC, type Surroundings, temperatureAtC } from './weather.ts';

const FEED_REFERENCE_C = 15;
const HANDOFF_LEVEL_SD_DB = 0.4;
const HANDOFF_TILT_SD_DB = 0.3;
const BAND_CENTRE_MHZ = 528;
const BAND_WIDTH_MHZ = 948;

/** Gives the sweeps of one building; a function of the building's description and the time asked for, nothing else. */
export interface Simulator {
  /**
   * The sweep at a point, or null where none reaches the sender: one in twenty goes missing, and a dead
   * instrument is silent. RangeError for a point that the site doesn't have.
   */
  sweep(point: string, atMs: number): Sweep | null;
  /** Whether the sweep at this moment is one of the instrument's rare nonsense readings. */
  isWild(point: string, atMs: number): boolean;
}

/** One hop made ready for one line-up. */
interface Hop {
  readonly entryFaults: readonly Fault[];
  readonly stages: readonly Stage[];
  readonly exitFaults: readonly Fault[];
}

/** The way from the handoff to each point, for one line-up. */
interface Plant {
  readonly carriers: Carriers;
  readonly feedDbmv: Float64Array;
  readonly pathTo: ReadonlyMap<string, readonly Hop[]>;
}

/** Makes a building ready to be swept. Costs a few milliseconds for each line-up; a sweep then takes microseconds. */
export function createSimulator(site: SimulatedSite): Simulator {
  const plants = site.lineUps.map((lineUp) => preparePlant(site, carriersOf(lineUp, site.feed, site.meter)));
  const points = new Map(site.points.map((point) => [point.name, preparePoint(site, point)]));

  const pointNamed = (name: string) => {
    const point = points.get(name);
    if (!point) throw new RangeError(`${site.name} has no point "${name}"; it has ${[...points.keys()]}`);
    return point;
  };

  return {
    sweep(name, atMs) {
      const point = pointNamed(name);
      if (point.faults.some((fault) => fault.shape.kind === 'silence' && isPresent(fault, atMs))) return null;
      if (isMissingSweep(site.meter, point.seed, atMs)) return null;

      const outdoorC = outdoorTemperatureC(site.climate, atMs);
      const temperatureC = (place: Surroundings) => temperatureAtC(place, site.climate, outdoorC, atMs);
      const plant = plants[indexInForce(site.lineUps, 'effectiveFromMs', atMs)]!;
      const signal = signalAt(site, plant, point, atMs, temperatureC);
      const ambientC = point.thermometer === null ? null : temperatureC(point.thermometer);
      return measure(signal, site.meter, instrumentAt(site, atMs), point.seed, atMs, ambientC);
    },

    isWild(name, atMs) {
      return isWildSweep(site.meter, pointNamed(name).seed, atMs);
    },
  };
}

interface PreparedPoint {
  readonly name: string;
  readonly seed: number;
  readonly thermometer: Surroundings | null;
  /** Faults between the provider and this point. */
  readonly faults: readonly Fault[];
}

function preparePoint(site: SimulatedSite, point: SimulatedPoint): PreparedPoint {
  const upstream = new Set(pathNames(site, point));
  return {
    name: point.name,
    seed: seedFrom(site.seed, site.name, point.name),
    thermometer: point.thermometer,
    faults: site.faults.filter(({ place }) => place === 'provider' || upstream.has(place.hopTo)),
  };
}

function preparePlant(site: SimulatedSite, carriers: Carriers): Plant {
  const seed = seedFrom(site.seed, site.name, 'handoff');
  const offsetDb = HANDOFF_LEVEL_SD_DB * gaussianAt(seed, 0);
  const tiltDb = HANDOFF_TILT_SD_DB * gaussianAt(seed, 1);
  const bandPlace = (freqMhz: number) => (freqMhz - BAND_CENTRE_MHZ) / BAND_WIDTH_MHZ;
  const feedDbmv = carriers.feedDbmv.map(
    (level, index) => level + offsetDb + tiltDb * bandPlace(carriers.freqMhz[index]!),
  );

  const pathTo = new Map<string, Hop[]>();
  const nominalAt = new Map<string, Nominal>();
  for (const point of site.points) {
    let nominal = nominalAt.get(point.fedBy ?? '') ?? {
      levelDbmv: feedDbmv,
      lowEndDbmv: site.feed.levelDbmv + offsetDb,
      highEndDbmv: site.feed.levelDbmv + offsetDb,
    };
    const stages = point.hop.map((element) => {
      const { stage, output } = prepareStage(element, carriers, nominal);
      nominal = output;
      return stage;
    });
    const faultsAt = (end: 'entry' | 'exit') =>
      site.faults.filter(
        ({ place }) => place !== 'provider' && place.hopTo === point.name && place.end === end,
      );
    const hop = { entryFaults: faultsAt('entry'), stages, exitFaults: faultsAt('exit') };
    nominalAt.set(point.name, nominal);
    pathTo.set(point.name, [...(pathTo.get(point.fedBy ?? '') ?? []), hop]);
  }
  return { carriers, feedDbmv, pathTo };
}

function signalAt(
  site: SimulatedSite,
  plant: Plant,
  point: PreparedPoint,
  atMs: number,
  temperatureC: (place: Surroundings) => number,
): Signal {
  const { carriers } = plant;
  const { feed } = site;
  const levelDbmv = plant.feedDbmv.slice();
  const noise = carriers.feedNoise.slice();
  const applyFaults = (faults: readonly Fault[]) => {
    for (const fault of faults) {
      addFault(fault, site.seed, atMs, carriers.freqMhz, levelDbmv);
      addNoise(fault, atMs, carriers, noise);
    }
  };

  const wanderDb =
    smoothNoise(seedFrom('wander', feed.name), atMs, feed.wander) +
    feed.temperatureDbPerC * (temperatureC('outdoor') - FEED_REFERENCE_C);
  for (let index = 0; index < levelDbmv.length; index += 1) levelDbmv[index]! += wanderDb;
  applyFaults(site.faults.filter(({ place }) => place === 'provider'));

  for (const hop of plant.pathTo.get(point.name)!) {
    applyFaults(hop.entryFaults);
    for (const stage of hop.stages) stage.apply(levelDbmv, noise, temperatureC);
    applyFaults(hop.exitFaults);
  }
  return { carriers, levelDbmv, noise, isLost: lostCarriers(point.faults, carriers, atMs) };
}

/** Adds noise so that the MER that the meter shows of a strong carrier falls by the fault's size. */
function addNoise(fault: Fault, atMs: number, carriers: Carriers, noise: Float64Array): void {
  if (fault.shape.kind !== 'noise') return;
  const growth = 10 ** (-faultSizeDb(fault, atMs) / 10) - 1;
  for (let index = 0; index < noise.length; index += 1) {
    noise[index]! += growth * (carriers.feedNoise[index]! + carriers.meterNoise[index]!);
  }
}

function lostCarriers(
  faults: readonly Fault[],
  carriers: Carriers,
  atMs: number,
): (index: number) => boolean {
  const present = faults.filter((fault) => isPresent(fault, atMs));
  if (present.some(({ shape }) => shape.kind === 'outage')) return () => true;
  const lost = new Set(
    present.flatMap(({ shape }) => (shape.kind === 'channels-lost' ? shape.channels : [])),
  );
  return (index) => lost.has(carriers.channel[index]!);
}

function instrumentAt(site: SimulatedSite, atMs: number): InstrumentPeriod {
  return site.instruments[indexInForce(site.instruments, 'fromMs', atMs)]!;
}

/** The last entry that has begun by `atMs`, or the first where none has. */
function indexInForce<K extends string>(periods: readonly Record<K, number>[], key: K, atMs: number): number {
  return Math.max(
    0,
    periods.findLastIndex((period) => period[key] <= atMs),
  );
}

function pathNames(site: SimulatedSite, point: SimulatedPoint): string[] {
  const parent = site.points.find(({ name }) => name === point.fedBy);
  return parent ? [...pathNames(site, parent), point.name] : [point.name];
}
