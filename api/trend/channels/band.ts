import { smoothBasis } from './smoothBasis.ts';

/** The planned channels of a grid and what the scans need to know of them, worked out once. */
export interface Band {
  /** RF names joined by spaces: its identity. */
  readonly key: string;
  readonly names: readonly string[];
  /** Place of each in the reading's arrays. */
  readonly carrier: readonly number[];
  readonly freqMhz: readonly number[];
  readonly basis: readonly Float64Array[];
  /** Smallest distance between neighbours, MHz: what the plan's raster is taken to be. */
  readonly spacingMhz: number;
  readonly reachMhz: number;
}

const byGrid = new WeakMap<readonly (string | null)[], Band>();
const byContent = new Map<string, Band>();
const KEPT = 24;
/** Carriers nearer than this are not two channels of a raster. Common practice, no source. */
const SMALLEST_SPACING_MHZ = 4;

/** The band of a grid; grids alike share one. `channel` and `freqMhz` of a grid must not change afterwards. */
export function bandOf(freqMhz: readonly number[], channel: readonly (string | null)[]): Band {
  const known = byGrid.get(channel);
  if (known !== undefined) return known;
  const carrier = channel.flatMap((name, i) => (name === null ? [] : [i]));
  const names = carrier.map((i) => channel[i]!);
  const content = carrier.map((i) => `${i} ${channel[i]} ${freqMhz[i]}`).join();
  const band =
    byContent.get(content) ??
    buildBand(
      names,
      carrier,
      carrier.map((i) => freqMhz[i]!),
    );
  byContent.delete(content);
  byContent.set(content, band);
  if (byContent.size > KEPT) byContent.delete(byContent.keys().next().value!);
  byGrid.set(channel, band);
  return band;
}

function buildBand(names: readonly string[], carrier: readonly number[], freqMhz: readonly number[]): Band {
  const gaps = freqMhz.slice(1).map((f, i) => f - freqMhz[i]!);
  return {
    key: names.join(' '),
    names,
    carrier,
    freqMhz,
    basis: smoothBasis(freqMhz),
    spacingMhz: Math.max(SMALLEST_SPACING_MHZ, Math.min(...gaps)),
    reachMhz: freqMhz.length === 0 ? 0 : freqMhz[freqMhz.length - 1]! - freqMhz[0]!,
  };
}
