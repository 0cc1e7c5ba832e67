import type { Band } from './band.ts';
import { CHI_SQUARE_80 } from './fitTrace.ts';
import { type Placed, span } from './placed.ts';
import { fitRipple, foldedNs, foldNs, type RippleFit } from './rippleScan.ts';
import { DB_PER_AMPLITUDE } from './shapeValues.ts';

/** Echoes from farther away than some 75 m of cable are too weak to be told from nearer ones. Common practice, no source. */
const LONGEST_NS = 600;
/** A longer delay is preferred to the shortest that fits when it explains so much χ² more. */
const LONGER_CHI_SQUARE = 4;
/** An alias that explains nearly as much: likelihood ratio of e^1.5 at most. */
const ALIAS_CHI_SQUARE = 3;
const ALIASES_MOST = 4;
const STEPS = 10;
const ALIAS_STEPS = 3;
const ZOOM = 0.4;
const ZOOMS_MOST = 8;
/** A grid is fine enough when so many of its delays fit nearly as well as the best. */
const NEAR_DELAYS = 5;

/**
 * The delay near `startNs`, or near one that channels at even spacing show alike, whose ripple explains most of `values`. Where the
 * spacing is uneven the right one stands out; otherwise the shortest is told and the others beside it.
 * @param variance of one channel of `values`
 */
export function placeRipple(band: Band, startNs: number, values: Float64Array, variance: number): Placed {
  const allowed = CHI_SQUARE_80 * variance;
  const reachNs = 500 / band.reachMhz;
  const aliases = aliasesOf(band, startNs).map((delayNs) =>
    bestOf(around(band, delayNs, reachNs, ALIAS_STEPS, values)),
  );
  const most = bestOf(aliases).explained;
  let best = aliases.find((fit) => fit.explained >= most - LONGER_CHI_SQUARE * variance)!;
  let near = [best];
  let half = reachNs / ALIAS_STEPS / 2;
  for (let zoom = 0, reach = reachNs; zoom < ZOOMS_MOST; zoom++, reach *= ZOOM) {
    const fits = around(band, best.delayNs, reach, STEPS, values);
    best = bestOf([best, ...fits]);
    near = fits.filter((fit) => fit.explained >= best.explained - allowed);
    half = reach / STEPS / 2;
    if (near.length >= NEAR_DELAYS) break;
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
    otherDelaysNs: aliasesOf(band, delayNs)
      .filter((other) => other !== delayNs)
      .map((other) => bestOf(around(band, other, reachNs, ALIAS_STEPS, values)))
      .filter((other) => other.explained > explained - ALIAS_CHI_SQUARE * variance)
      .map((other) => Math.round(10 * other.delayNs) / 10)
      .slice(0, ALIASES_MOST),
  };
}

/** A delay with all that channels at even spacing show alike, whole turns of 1/spacing less or more; shortest first. */
function aliasesOf(band: Band, delayNs: number): number[] {
  const turnNs = 2 * foldNs(band);
  const folded = foldedNs(band, delayNs);
  const delays: number[] = [];
  for (let turns = 0; turns <= LONGEST_NS; turns += turnNs) delays.push(turns - folded, turns + folded);
  return delays
    .filter((other) => other > 0 && other <= LONGEST_NS)
    .map((other) => (Math.abs(other - delayNs) < 1e-6 ? delayNs : other))
    .sort((a, b) => a - b);
}

function around(
  band: Band,
  delayNs: number,
  reachNs: number,
  steps: number,
  values: Float64Array,
): RippleFit[] {
  return Array.from({ length: 2 * steps + 1 }, (_, i) =>
    fitRipple(band, Math.max(0.1, delayNs + (reachNs * (i - steps)) / steps), values),
  );
}

function bestOf(fits: readonly RippleFit[]): RippleFit {
  return fits.reduce((a, b) => (b.explained > a.explained ? b : a));
}
