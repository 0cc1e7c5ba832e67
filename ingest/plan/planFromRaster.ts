import type { RasterName } from '../store/schema.ts';
import type { Modulation, PlannedChannel, Service } from './channelPlan.ts';
import { cta542 } from './cta542.ts';
import { raster8Mhz } from './raster8Mhz.ts';
import type { RasterChannel } from './rasterChannel.ts';

/** Offset carriers reach 25 kHz beyond the edges of their channel. */
const EDGE_SLACK_MHZ = 0.025;

/** Which part of a raster; ends are included, and an absent end is the raster's own. */
export type RasterPart =
  | { readonly fromChannel?: string; readonly toChannel?: string }
  /** Channels that lie in the band as a whole. */
  | { readonly fromMhz: number; readonly toMhz: number };

export interface RasterCarriers {
  readonly modulation: Modulation;
  /** By RF channel; a channel without an entry carries no known service. */
  readonly services?: ReadonlyMap<string, readonly Service[]>;
}

/**
 * Channels ready for a plan: part of a raster, all of one modulation, in rising frequency. "2 to 13" goes by channel
 * number, so it leaves out 14 to 22, which lie between 6 and 7 in frequency.
 *
 * @throws RangeError when the raster has no such channel, the ends are the wrong way round, or the raster is `own`
 */
export function planFromRaster(
  raster: RasterName,
  part: RasterPart,
  { modulation, services }: RasterCarriers,
): PlannedChannel[] {
  return partOf(rasterChannels(raster), part).map(({ channel, centreMhz, widthMhz }) => ({
    channel,
    centreMhz,
    widthMhz,
    modulation,
    services: services?.get(channel) ?? [],
  }));
}

/** All channels of a raster, in rising frequency. RangeError for `own`, which has none. */
export function rasterChannels(raster: RasterName): RasterChannel[] {
  if (raster === 'own') throw new RangeError('a plan of your own has no raster; list its channels');
  return raster === '8 MHz' ? raster8Mhz() : cta542(raster);
}

function partOf(channels: readonly RasterChannel[], part: RasterPart): RasterChannel[] {
  if ('fromMhz' in part) {
    if (!(part.fromMhz < part.toMhz)) {
      throw new RangeError(
        `the band runs from ${part.fromMhz} to ${part.toMhz} MHz; give the lower end first`,
      );
    }
    return channels.filter(
      ({ centreMhz, widthMhz }) =>
        centreMhz - widthMhz / 2 >= part.fromMhz - EDGE_SLACK_MHZ &&
        centreMhz + widthMhz / 2 <= part.toMhz + EDGE_SLACK_MHZ,
    );
  }

  const named = byName(channels);
  const from = part.fromChannel === undefined ? 0 : positionOf(part.fromChannel, named);
  const to = part.toChannel === undefined ? named.length - 1 : positionOf(part.toChannel, named);
  if (from > to) {
    throw new RangeError(
      `channel ${part.fromChannel} comes after ${part.toChannel}; give the lower one first`,
    );
  }
  const wanted = new Set(named.slice(from, to + 1));
  return channels.filter((channel) => wanted.has(channel));
}

function byName(channels: readonly RasterChannel[]): RasterChannel[] {
  const numbered = channels.every(({ channel }) => /^\d+$/.test(channel));
  return numbered ? [...channels].sort((a, b) => Number(a.channel) - Number(b.channel)) : [...channels];
}

function positionOf(name: string, channels: readonly RasterChannel[]): number {
  const position = channels.findIndex(({ channel }) => channel === name);
  if (position < 0) {
    throw new RangeError(
      `the raster has no channel "${name}"; it runs from ${channels[0]!.channel} to ${channels.at(-1)!.channel}`,
    );
  }
  return position;
}
