import type { BandView } from '../../api/schemas/site.ts';

export type BandChannel = BandView['channels'][number];

/** Columns for the band charts, in rising frequency; `channels[i]` is what column i speaks of. */
export interface BandColumns {
  readonly channels: readonly BandChannel[];
  readonly freqMhz: readonly number[];
  readonly thenDbmv: readonly (number | null)[];
  readonly nowDbmv: readonly (number | null)[];
  readonly deviationDb: readonly (number | null)[];
}

export function bandColumns(channels: readonly BandChannel[]): BandColumns {
  const sorted = [...channels].sort((a, b) => a.freqMhz - b.freqMhz);
  return {
    channels: sorted,
    freqMhz: sorted.map((channel) => channel.freqMhz),
    thenDbmv: sorted.map((channel) => channel.thenLevelDbmv),
    nowDbmv: sorted.map((channel) => channel.nowLevelDbmv),
    deviationDb: sorted.map((channel) => channel.deviationDb),
  };
}

/** Whether the level now lies outside the limits of its channel. */
export function outsideLimits(channel: BandChannel): boolean {
  const { nowLevelDbmv: level, levelMinDbmv: min, levelMaxDbmv: max, marginDb } = channel;
  if (level !== null && min !== null && level < min) return true;
  if (level !== null && max !== null && level > max) return true;
  return marginDb !== null && marginDb < 0;
}

/** Limits further than this from every reading, dB, stay off the picture. */
const REACH_DB = 4;

/**
 * Bottom and top of a level axis, dBmV, on whole even decibels: every reading, then and now, with
 * limits that lie within reach.
 */
export function levelRange({ channels }: BandColumns): readonly [number, number] {
  const readings = channels.flatMap((c) => [c.thenLevelDbmv, c.nowLevelDbmv]).filter((v) => v !== null);
  if (readings.length === 0) return [0, 20];
  let low = Math.min(...readings);
  let high = Math.max(...readings);
  const limits = channels.flatMap((c) => [c.levelMinDbmv, c.levelMaxDbmv]).filter((v) => v !== null);
  const near = limits.filter((limit) => limit > low - REACH_DB && limit < high + REACH_DB);
  low = Math.min(low, ...near);
  high = Math.max(high, ...near);
  return [2 * Math.floor((low - 1) / 2), 2 * Math.ceil((high + 1) / 2)];
}

/** Bottom and top of a deviation axis, dB: symmetrical, ±3 at least. */
export function deviationRange({ deviationDb }: BandColumns): readonly [number, number] {
  const largest = Math.max(3, ...deviationDb.map((value) => Math.abs(value ?? 0)));
  const end = Math.ceil(largest + 0.2);
  return [-end, end];
}

const WIDEST_SLOT_MHZ = 8;

/** Half the room that one channel has on the frequency axis, MHz. */
export function halfSlotMhz(freqMhz: readonly number[], index: number): number {
  const here = freqMhz[index]!;
  const gaps = [freqMhz[index - 1], freqMhz[index + 1]]
    .filter((other) => other !== undefined)
    .map((other) => Math.abs(other - here));
  return Math.min(WIDEST_SLOT_MHZ, ...gaps) / 2;
}
