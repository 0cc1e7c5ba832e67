import type { Band } from './band.ts';
import type { ChannelShape } from './channelTrend.ts';
import { takeOut } from './smoothBasis.ts';

/** A template that is not zero over a few neighbouring channels only. */
export interface Template {
  readonly shape: ChannelShape;
  readonly from: number;
  readonly values: Float64Array;
  /** Sum of squares at right angles to the smooth shapes. */
  readonly energy: number;
}

/** Templates, and the same end to end in one array, which is read twice as fast. */
export interface Bank {
  readonly templates: readonly Template[];
  readonly weights: Float64Array;
  /** Where each ends in `weights`. */
  readonly ends: Int32Array;
}

/** Where a scan found most. `explained` is in squares of the values' unit. */
export interface Candidate {
  readonly shape: ChannelShape;
  readonly explained: number;
}

const NOTCH_WIDTHS_MHZ = [8, 14, 24, 42, 75];
const CENTRES_PER_WIDTH = 3;
/** A notch's tail is left out beyond so many widths: a 26th is left there. */
const TAIL_WIDTHS = 2.5;
const GROUP_SIZES = [1, 2, 3, 4, 6, 8, 12];
const FLANK_LEAST = 4;
const SMALLEST_ENERGY = 0.2;
/** A template of which less than this is left beside the smooth shapes is one of them. */
const SMALLEST_SHARE = 0.08;

/** Notches of all places and widths, and groups of neighbours, for what level leaves once the smooth shapes are out. */
export const levelBank = once((band) => [...notches(band), ...groups(band)]);

/** The notches among them. */
export const notchBank = once(notches);

/**
 * Groups of neighbours against the channels on both sides of them, for MER: noise that grows along the band then cancels.
 * An amplitude is the difference of the two means.
 */
export const merBank = once(contrasts);

/**
 * The template that explains most of `values`, which the smooth shapes must have been taken out of where the bank demands it. A notch
 * takes level away: what stands out upwards is a group of channels.
 */
export function scanBank({ templates, weights, ends }: Bank, values: Float64Array): Candidate | null {
  let best = -1;
  let explained = 0;
  let w = 0;
  for (let t = 0; t < templates.length; t++) {
    const { from, energy, shape } = templates[t]!;
    const end = ends[t]!;
    let product = 0;
    for (let i = from; w < end; i++, w++) product += weights[w]! * values[i]!;
    const here = (product * product) / energy;
    if (here > explained && (product < 0 || shape.kind !== 'notch')) {
      explained = here;
      best = t;
    }
  }
  return best < 0 ? null : { shape: templates[best]!.shape, explained };
}

/** Made once for each band. */
function once(make: (band: Band) => Template[]): (band: Band) => Bank {
  const banks = new WeakMap<Band, Bank>();
  return (band) => {
    const known = banks.get(band);
    if (known !== undefined) return known;
    const bank = packed(make(band));
    banks.set(band, bank);
    return bank;
  };
}

function packed(templates: readonly Template[]): Bank {
  const weights = new Float64Array(templates.reduce((sum, { values }) => sum + values.length, 0));
  const ends = new Int32Array(templates.length);
  let end = 0;
  templates.forEach(({ values }, t) => {
    weights.set(values, end);
    end += values.length;
    ends[t] = end;
  });
  return { templates, weights, ends };
}

function notches(band: Band): Template[] {
  const { freqMhz } = band;
  const found: Template[] = [];
  for (const widthMhz of NOTCH_WIDTHS_MHZ) {
    for (
      let centreMhz = freqMhz[0]!;
      centreMhz <= freqMhz[freqMhz.length - 1]!;
      centreMhz += widthMhz / CENTRES_PER_WIDTH
    ) {
      const near = freqMhz.flatMap((f, i) => (Math.abs(f - centreMhz) <= TAIL_WIDTHS * widthMhz ? [i] : []));
      if (near.length === 0) continue;
      const values = Float64Array.from(
        near,
        (i) => 1 / (1 + ((2 * (freqMhz[i]! - centreMhz)) / widthMhz) ** 2),
      );
      const energy = bareEnergy(band, near[0]!, values);
      if (energy < SMALLEST_ENERGY || energy < SMALLEST_SHARE * squares(values)) continue;
      found.push({ shape: { kind: 'notch', centreMhz, widthMhz }, from: near[0]!, values, energy });
    }
  }
  return found;
}

function groups(band: Band): Template[] {
  return windows(band).flatMap(({ from, size }) => {
    const values = new Float64Array(size).fill(1);
    const energy = bareEnergy(band, from, values);
    return energy < SMALLEST_ENERGY ? [] : [{ shape: groupShape(band, from, size), from, values, energy }];
  });
}

function contrasts(band: Band): Template[] {
  return windows(band).map(({ from, size }) => {
    const flank = Math.max(FLANK_LEAST, size >> 1);
    const start = Math.max(0, from - flank);
    const end = Math.min(band.names.length, from + size + flank);
    const beside = end - start - size;
    const values = new Float64Array(end - start).fill(-1 / beside);
    values.fill(1 / size, from - start, from - start + size);
    const squares = 1 / size + 1 / beside;
    return {
      shape: groupShape(band, from, size),
      from: start,
      values: values.map((value) => value / squares),
      energy: 1 / squares,
    };
  });
}

function windows(band: Band): { from: number; size: number }[] {
  const count = band.names.length;
  return GROUP_SIZES.filter((size) => size <= count / 4).flatMap((size) =>
    Array.from({ length: count - size + 1 }, (_, from) => ({ from, size })),
  );
}

function groupShape(band: Band, from: number, size: number): ChannelShape {
  return { kind: 'channel-shift', channels: band.names.slice(from, from + size) };
}

function bareEnergy(band: Band, from: number, values: Float64Array): number {
  const whole = new Float64Array(band.names.length);
  whole.set(values, from);
  takeOut(band.basis, whole);
  return squares(whole);
}

function squares(values: Float64Array): number {
  return values.reduce((sum, value) => sum + value * value, 0);
}
