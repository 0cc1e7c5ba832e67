import { median } from '../signal/median.ts';
import type { RasterName } from '../store/schema.ts';
import type { Modulation, PlannedChannel } from './channelPlan.ts';
import { fitRasters, type RasterFit, type RasterPlace } from './fitRaster.ts';
import { ownChannels } from './ownChannels.ts';
import type { ScannedCarrier } from './scannedCarrier.ts';

/** How sure a proposal is, in three words that a person can act on. */
export type Sureness = 'sure' | 'likely' | 'guess';

/** What tells the modulation: what was measured, or where the carrier stands. */
export type ModulationSign = 'cnr' | 'mer' | 'picture-carrier' | 'none';

export interface ProposedChannel extends PlannedChannel {
  /** The carrier that it was made of, MHz. */
  readonly carrierMhz: number;
  readonly modulationIs: Sureness;
  readonly sign: ModulationSign;
}

export interface ProposedPlan {
  readonly raster: RasterName;
  readonly rasterIs: Sureness;
  /** The known raster that fits next best; as good as the best where only some channels tell the two apart. */
  readonly runnerUp: { readonly raster: RasterName; readonly matched: number } | null;
  /** Carriers found, and those of them that lie on the raster. */
  readonly carriers: number;
  readonly matched: number;
  /** Found, in rising frequency; ready for a plan once a person has looked at them. */
  readonly channels: readonly ProposedChannel[];
  /** On the raster, looked for and not there: `lost` by the meter's word, `empty` by a level that is no carrier's. */
  readonly missing: readonly (ProposedChannel & { readonly how: 'lost' | 'empty' })[];
  /** Found where the raster has no channel, MHz. */
  readonly outsideMhz: readonly number[];
}

/** Fewer carriers on a raster may lie there by chance: one in sixty does (0.1 MHz of 6). */
const LEAST_FOR_SURE = 6;
const SHARE_FOR_SURE = 0.95;
/** STD and IRC differ by 12.5 kHz on most channels: half of that, on average, tells them apart where the meter resolves it. */
const NEARER_MHZ = 0.006;
const COARSE_STEP_MHZ = 0.05;
/** Below this the feed follows no raster that is known here. */
const SHARE_OF_A_RASTER = 0.6;
/** Common practice, no source: no digital channel is carried so far below the others, no analogue one further. */
const EMPTY_BELOW_DB = 20;
/** A digital carrier tells nothing of its constellation by level and MER; most are 256-QAM (common practice, no source). */
const USUAL_DIGITAL: Modulation = 'qam256';

/**
 * What a feed seems to carry, from one look at a test point: the raster by where the carriers stand, the modulation where
 * what was measured tells it, and the channels that were looked for in vain. A proposal for a person to confirm.
 *
 * @param scan in rising frequency
 * @returns null when no carrier was found
 */
export function proposePlan(scan: readonly ScannedCarrier[]): ProposedPlan | null {
  const floorDbmv = emptyFloorDbmv(scan);
  const isEmpty = (carrier: ScannedCarrier): boolean =>
    carrier.levelDbmv !== null && !hasQuality(carrier) && carrier.levelDbmv < floorDbmv;
  const found = scan.filter((carrier) => carrier.levelDbmv !== null && !isEmpty(carrier));
  if (found.length === 0) return null;

  const [best, second] = fitRasters(found) as [RasterFit, RasterFit];
  const isOwn = best.matched / found.length < SHARE_OF_A_RASTER;
  if (isOwn) return ownPlan(found, best);

  const places = placesOn(best.raster, scan, (carrier) => found.includes(carrier));
  const channels: ProposedChannel[] = [];
  const missing: (ProposedChannel & { how: 'lost' | 'empty' })[] = [];
  scan.forEach((carrier, i) => {
    const place = places[i];
    if (place == null) return;
    const proposed = proposedChannel(carrier, place);
    if (carrier.levelDbmv === null) missing.push({ ...proposed, how: 'lost' });
    else if (isEmpty(carrier)) missing.push({ ...proposed, how: 'empty' });
    else channels.push(proposed);
  });
  return {
    raster: best.raster,
    rasterIs: rasterSureness(best, second, found),
    runnerUp: { raster: second.raster, matched: second.matched },
    carriers: found.length,
    matched: channels.length,
    channels: inOrder(channels),
    missing: inOrder(missing),
    outsideMhz: scan.filter((carrier, i) => found.includes(carrier) && places[i] === null).map(frequency),
  };
}

/** Places of the whole scan; a channel whose carrier was found is not missing at its other place. */
function placesOn(
  raster: RasterFit['raster'],
  scan: readonly ScannedCarrier[],
  isFound: (carrier: ScannedCarrier) => boolean,
): (RasterPlace | null)[] {
  const placesOf = (carriers: readonly ScannedCarrier[]) => {
    const fit = fitRasters(carriers).find((candidate) => candidate.raster === raster)!;
    return new Map(carriers.map((carrier, i) => [carrier, fit.places[i] ?? null]));
  };
  const found = placesOf(scan.filter(isFound));
  const taken = new Set([...found.values()].map((place) => place?.channel.channel));
  const others = placesOf(scan.filter((carrier) => !isFound(carrier)));
  return scan.map((carrier) => {
    if (found.has(carrier)) return found.get(carrier)!;
    const place = others.get(carrier) ?? null;
    return place !== null && taken.has(place.channel.channel) ? null : place;
  });
}

function rasterSureness(best: RasterFit, second: RasterFit, found: readonly ScannedCarrier[]): Sureness {
  const share = best.matched / found.length;
  const lead = best.matched - second.matched;
  if (best.matched >= LEAST_FOR_SURE && share >= SHARE_FOR_SURE && lead >= 2) return 'sure';
  const isNearer = second.meanAwayMhz - best.meanAwayMhz >= NEARER_MHZ && resolvesOffsets(found);
  if (best.matched >= LEAST_FOR_SURE && share >= SHARE_OF_A_RASTER && (lead >= 1 || isNearer))
    return 'likely';
  return 'guess';
}

/** A meter that rounds to 50 kHz or more puts every feed on the whole megahertz of STD, so its nearness tells nothing. */
function resolvesOffsets(found: readonly ScannedCarrier[]): boolean {
  const fine = found.filter(({ freqMhz }) => {
    const steps = freqMhz / COARSE_STEP_MHZ;
    return Math.abs(steps - Math.round(steps)) > 0.02;
  });
  return fine.length >= 3;
}

function proposedChannel(carrier: ScannedCarrier, { channel, place }: RasterPlace): ProposedChannel {
  const { channel: name, centreMhz, widthMhz } = channel;
  return {
    channel: name,
    centreMhz,
    widthMhz,
    services: [],
    carrierMhz: carrier.freqMhz,
    ...modulationOf(carrier, place),
  };
}

function modulationOf(
  carrier: ScannedCarrier,
  place: RasterPlace['place'],
): Pick<ProposedChannel, 'modulation' | 'modulationIs' | 'sign'> {
  if (carrier.cnrDb !== null && carrier.merDb === null)
    return { modulation: 'analogue', modulationIs: 'sure', sign: 'cnr' };
  if (carrier.merDb !== null) return { modulation: USUAL_DIGITAL, modulationIs: 'likely', sign: 'mer' };
  if (place === 'picture') return { modulation: 'analogue', modulationIs: 'likely', sign: 'picture-carrier' };
  return { modulation: USUAL_DIGITAL, modulationIs: 'guess', sign: 'none' };
}

function ownPlan(found: readonly ScannedCarrier[], best: RasterFit): ProposedPlan {
  const channels = ownChannels(found.map(frequency)).map((channel, i) => {
    const carrier = found[i]!;
    return { ...channel, services: [], carrierMhz: carrier.freqMhz, ...modulationOf(carrier, 'centre') };
  });
  return {
    raster: 'own',
    rasterIs: 'guess',
    runnerUp: { raster: best.raster, matched: best.matched },
    carriers: found.length,
    matched: channels.length,
    channels,
    missing: [],
    outsideMhz: [],
  };
}

/** Below this a level without any quality beside it is noise, dBmV. */
function emptyFloorDbmv(scan: readonly ScannedCarrier[]): number {
  const measured = scan.filter(hasQuality);
  const levels = (measured.length >= 3 ? measured : scan).map(({ levelDbmv }) => levelDbmv);
  return (median(levels) ?? Number.NEGATIVE_INFINITY) - EMPTY_BELOW_DB;
}

function hasQuality({ merDb, cnrDb }: ScannedCarrier): boolean {
  return merDb !== null || cnrDb !== null;
}

function frequency({ freqMhz }: ScannedCarrier): number {
  return freqMhz;
}

function inOrder<T extends PlannedChannel>(channels: readonly T[]): T[] {
  return [...channels].sort((a, b) => a.centreMhz - b.centreMhz);
}
