import { RASTERS, type RasterName } from '../store/schema.ts';
import { rasterChannels } from './planFromRaster.ts';
import type { RasterChannel } from './rasterChannel.ts';
import type { ScannedCarrier } from './scannedCarrier.ts';
import { visualMhz } from './visualMhz.ts';

/** As in `matchChannels`: aeronautical offsets and a meter's rounding. */
const TOLERANCE_MHZ = 0.05;
const ROUNDING_MHZ = 1e-6;

/** How far a carrier lies on a raster, and at which place of its channel. */
export interface RasterPlace {
  readonly channel: RasterChannel;
  readonly place: 'centre' | 'picture';
  readonly awayMhz: number;
}

/** A raster held against the carriers that were found. */
export interface RasterFit {
  readonly raster: Exclude<RasterName, 'own'>;
  /** Parallel to the carriers; null lies on no channel of this raster. */
  readonly places: readonly (RasterPlace | null)[];
  readonly matched: number;
  /** Mean distance of the matched carriers from their places, MHz; 0 without any. */
  readonly meanAwayMhz: number;
}

/**
 * Every known raster with how well it fits, best first: most carriers matched, then the nearest to their places, then the
 * order of `RASTERS`. A carrier with MER is digital and matches at a centre alone; one without may match at the picture
 * carrier too. A channel takes one carrier, the nearest.
 */
export function fitRasters(carriers: readonly ScannedCarrier[]): RasterFit[] {
  return RASTERS.filter((raster) => raster !== 'own')
    .map((raster) => fitRaster(raster, carriers))
    .sort((a, b) => b.matched - a.matched || a.meanAwayMhz - b.meanAwayMhz);
}

function fitRaster(raster: RasterFit['raster'], carriers: readonly ScannedCarrier[]): RasterFit {
  const channels = rasterChannels(raster);
  const places: (RasterPlace | null)[] = carriers.map((carrier) => nearestPlace(carrier, channels));
  const holders = new Map<RasterChannel, number>();
  places.forEach((found, i) => {
    if (found === null) return;
    const holder = holders.get(found.channel);
    if (holder !== undefined && places[holder]!.awayMhz <= found.awayMhz) {
      places[i] = null;
      return;
    }
    if (holder !== undefined) places[holder] = null;
    holders.set(found.channel, i);
  });
  const matched = places.filter((found) => found !== null);
  const sumMhz = matched.reduce((sum, { awayMhz }) => sum + awayMhz, 0);
  return {
    raster,
    places,
    matched: matched.length,
    meanAwayMhz: matched.length === 0 ? 0 : sumMhz / matched.length,
  };
}

function nearestPlace(carrier: ScannedCarrier, channels: readonly RasterChannel[]): RasterPlace | null {
  let nearest: RasterPlace | null = null;
  for (const channel of channels) {
    const centre = place(channel, 'centre', Math.abs(carrier.freqMhz - channel.centreMhz));
    const pictureMhz = channel.visualMhz ?? visualMhz(channel);
    const picture = place(channel, 'picture', Math.abs(carrier.freqMhz - pictureMhz));
    for (const candidate of carrier.merDb === null ? [centre, picture] : [centre]) {
      if (candidate.awayMhz > TOLERANCE_MHZ + ROUNDING_MHZ) continue;
      if (nearest === null || candidate.awayMhz < nearest.awayMhz) nearest = candidate;
    }
  }
  return nearest;
}

function place(channel: RasterChannel, at: RasterPlace['place'], awayMhz: number): RasterPlace {
  return { channel, place: at, awayMhz };
}
