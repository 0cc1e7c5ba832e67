import type { Band } from './band.ts';
import type { ChannelShape, Interval } from './channelTrend.ts';
import { fitShape } from './fitShape.ts';
import { CHI_SQUARE_80 } from './fitTrace.ts';
import { fitRipple, foldNs } from './rippleScan.ts';
import { DB_PER_AMPLITUDE, shapeValues } from './shapeValues.ts';

/** A shape at its likeliest place, with intervals of 80 % from the profile of the likelihood. */
export interface Placed {
  readonly shape: ChannelShape;
  /** In the values that it was fitted to. */
  readonly amplitude: Interval;
  readonly explained: number;
  readonly centreMhz: Interval | null;
  readonly widthMhz: Interval | null;
  readonly delayNs: Interval | null;
  readonly otherDelaysNs: readonly number[];
}

const NARROWEST_MHZ = 4;
const WIDEST_MHZ = 140;
const CENTRE_STEPS = 6;
const WIDTH_STEPS = 5;
const ZOOM = 0.4;
const ZOOMS_MOST = 8;
/** A grid is fine enough when so many of its places fit nearly as well as the best. */
const NEAR_NOTCHES = 12;
const NEAR_DELAYS = 5;
/** An alias that explains nearly as much: likelihood ratio of e^1.5 at most. */
const ALIAS_CHI_SQUARE = 3;

/**
 * Moves a shape to where it explains most of `values`.
 * @param variance of one channel of `values`
 */
export function placeShape(band: Band, shape: ChannelShape, values: Float64Array, variance: number): Placed {
  switch (shape.kind) {
    case 'notch':
      return placeNotch(band, shape, values, variance);
    case 'ripple':
      return placeRipple(band, shape.delayNs, values, variance);
    case 'channel-shift':
      return placeGroup(band, shape, values, variance);
  }
}

function placeGroup(band: Band, shape: ChannelShape, values: Float64Array, variance: number): Placed {
  const fit = fitShape(band, shapeValues(band, shape), values);
  const reach = Math.sqrt((CHI_SQUARE_80 * variance) / Math.max(1e-9, fit.energy));
  return {
    shape,
    amplitude: { value: fit.amplitude, low: fit.amplitude - reach, high: fit.amplitude + reach },
    explained: fit.explained,
    centreMhz: null,
    widthMhz: null,
    delayNs: null,
    otherDelaysNs: [],
  };
}

interface NotchFit {
  readonly centreMhz: number;
  readonly widthMhz: number;
  readonly amplitude: number;
  readonly energy: number;
  readonly explained: number;
}

function placeNotch(
  band: Band,
  start: { readonly centreMhz: number; readonly widthMhz: number },
  values: Float64Array,
  variance: number,
): Placed {
  const allowed = CHI_SQUARE_80 * variance;
  let centreReach = start.widthMhz / 2;
  let widthReach = Math.log(1.8);
  let best = notchFit(band, start.centreMhz, start.widthMhz, values);
  let near: NotchFit[] = [best];
  let half = { centre: 0, width: 0 };
  for (let zoom = 0; zoom < ZOOMS_MOST; zoom++) {
    const fits = notchGrid(band, best, centreReach, widthReach, values);
    best = fits.reduce((a, b) => (b.explained > a.explained ? b : a), best);
    near = fits.filter((fit) => fit.explained >= best.explained - allowed);
    half = { centre: centreReach / CENTRE_STEPS / 2, width: widthReach / WIDTH_STEPS / 2 };
    if (near.length >= NEAR_NOTCHES) break;
    centreReach *= ZOOM;
    widthReach *= ZOOM;
  }
  const reachOf = (fit: NotchFit) =>
    Math.sqrt(Math.max(0, allowed - (best.explained - fit.explained)) / Math.max(1e-9, fit.energy));
  const round = (mhz: number) => Math.round(100 * mhz) / 100;
  const shape = { kind: 'notch', centreMhz: round(best.centreMhz), widthMhz: round(best.widthMhz) } as const;
  const all = [best, ...near];
  return {
    shape,
    amplitude: {
      value: best.amplitude,
      low: Math.min(...all.map((fit) => fit.amplitude - reachOf(fit))),
      high: Math.max(...all.map((fit) => fit.amplitude + reachOf(fit))),
    },
    explained: best.explained,
    centreMhz: span(
      shape.centreMhz,
      all.flatMap((fit) => [fit.centreMhz - half.centre, fit.centreMhz + half.centre]),
    ),
    widthMhz: span(
      shape.widthMhz,
      all.flatMap((fit) => [fit.widthMhz * Math.exp(-half.width), fit.widthMhz * Math.exp(half.width)]),
    ),
    delayNs: null,
    otherDelaysNs: [],
  };
}

function notchGrid(
  band: Band,
  around: NotchFit,
  centreReach: number,
  widthReach: number,
  values: Float64Array,
): NotchFit[] {
  const fits: NotchFit[] = [];
  for (let i = -CENTRE_STEPS; i <= CENTRE_STEPS; i++) {
    for (let j = -WIDTH_STEPS; j <= WIDTH_STEPS; j++) {
      const centreMhz = around.centreMhz + (centreReach * i) / CENTRE_STEPS;
      const widthMhz = around.widthMhz * Math.exp((widthReach * j) / WIDTH_STEPS);
      if (widthMhz < NARROWEST_MHZ || widthMhz > WIDEST_MHZ) continue;
      fits.push(notchFit(band, centreMhz, widthMhz, values));
    }
  }
  return fits;
}

function notchFit(band: Band, centreMhz: number, widthMhz: number, values: Float64Array): NotchFit {
  const template = shapeValues(band, { kind: 'notch', centreMhz, widthMhz });
  return { centreMhz, widthMhz, ...fitShape(band, template, values) };
}

function placeRipple(band: Band, startNs: number, values: Float64Array, variance: number): Placed {
  const allowed = CHI_SQUARE_80 * variance;
  let best = fitRipple(band, startNs, values);
  let reachNs = 500 / band.reachMhz;
  let near = [best];
  let half = 0;
  for (let zoom = 0; zoom < ZOOMS_MOST; zoom++) {
    const around = best.delayNs;
    const fits = Array.from({ length: 21 }, (_, i) =>
      fitRipple(band, Math.max(0.1, around + (reachNs * (i - 10)) / 10), values),
    );
    best = fits.reduce((a, b) => (b.explained > a.explained ? b : a), best);
    near = fits.filter((fit) => fit.explained >= best.explained - allowed);
    half = reachNs / 20;
    if (near.length >= NEAR_DELAYS) break;
    reachNs *= ZOOM;
  }
  const delayNs = Math.round(1000 * best.delayNs) / 1000;
  const { cosDb, sinDb, explained } = fitRipple(band, delayNs, values);
  const amplitude = Math.hypot(cosDb, sinDb);
  // The echo's second harmonic, r/2 of the first, goes partly into it.
  const harmonicDb = (amplitude * amplitude) / DB_PER_AMPLITUDE / 8;
  const reach = Math.sqrt((2 * allowed) / band.names.length) + harmonicDb;
  return {
    shape: { kind: 'ripple', delayNs, phaseRad: Math.round(1e4 * Math.atan2(-sinDb, cosDb)) / 1e4 },
    amplitude: { value: amplitude, low: amplitude - reach, high: amplitude + reach },
    explained,
    centreMhz: null,
    widthMhz: null,
    delayNs: span(
      delayNs,
      near.flatMap((fit) => [fit.delayNs - half, fit.delayNs + half]),
    ),
    otherDelaysNs: aliases(band, delayNs, values, explained, variance),
  };
}

/** Channels at even spacing show an echo of delay τ as they would one of 1/spacing ± τ. */
function aliases(
  band: Band,
  delayNs: number,
  values: Float64Array,
  explained: number,
  variance: number,
): number[] {
  const turnNs = 2 * foldNs(band);
  return [turnNs - delayNs, turnNs + delayNs]
    .filter((other) => fitRipple(band, other, values).explained > explained - ALIAS_CHI_SQUARE * variance)
    .map((other) => Math.round(100 * other) / 100);
}

/** Rounded outwards, to thousandths. */
function span(value: number, values: readonly number[]): Interval {
  return {
    value,
    low: Math.floor(1000 * Math.min(value, ...values)) / 1000,
    high: Math.ceil(1000 * Math.max(value, ...values)) / 1000,
  };
}
