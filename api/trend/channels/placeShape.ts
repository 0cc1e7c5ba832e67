import type { Band } from './band.ts';
import type { ChannelShape } from './channelTrend.ts';
import { fitShape } from './fitShape.ts';
import { CHI_SQUARE_80 } from './fitTrace.ts';
import { type Placed, span } from './placed.ts';
import { placeRipple } from './placeRipple.ts';
import { shapeValues } from './shapeValues.ts';

const NARROWEST_MHZ = 4;
const WIDEST_MHZ = 140;
/** A depth that no channel shows half of is a guess. */
const PEAK_SHARE = 0.5;
const CENTRE_STEPS = 6;
const WIDTH_STEPS = 5;
const ZOOM = 0.4;
const ZOOMS_MOST = 8;
/** A grid is fine enough when so many of its places fit nearly as well as the best. */
const NEAR_NOTCHES = 12;

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
  if (!template.some((value) => value > PEAK_SHARE)) {
    return { centreMhz, widthMhz, amplitude: 0, energy: 0, explained: 0 };
  }
  return { centreMhz, widthMhz, ...fitShape(band, template, values) };
}
