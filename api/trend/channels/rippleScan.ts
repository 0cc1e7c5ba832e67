import type { Band } from './band.ts';
import { takeOut } from './smoothBasis.ts';

/** Fewer crests than this over the band can't be told from the smooth shapes. */
const FEWEST_CRESTS = 2;
/** Step of the delays, as a share of 1/reach: less than a tenth of χ² is lost between two of them. */
const DELAY_STEP = 0.35;

interface RippleBank {
  readonly delayNs: readonly number[];
  /** Two orthonormal columns a delay, one after the other. */
  readonly columns: readonly Float64Array[];
}

const banks = new WeakMap<Band, RippleBank>();

export interface RippleFit {
  readonly delayNs: number;
  /** Change is cosDb·cos(2πfτ) + sinDb·sin(2πfτ). */
  readonly cosDb: number;
  readonly sinDb: number;
  readonly explained: number;
}

/** Beyond this delay, ns, channels at even spacing repeat what they show of shorter ones. */
export function foldNs(band: Band): number {
  return 1000 / (2 * band.spacingMhz);
}

/** The shortest delay that channels at even spacing show as they show this one, ns. */
export function foldedNs(band: Band, delayNs: number): number {
  const turnNs = 2 * foldNs(band);
  const left = delayNs % turnNs;
  return Math.min(left, turnNs - left);
}

/** The delay whose ripple explains most of `values`: a least-squares periodogram over delay. Null when the band is too narrow. */
export function scanRipple(band: Band, values: Float64Array): { delayNs: number; explained: number } | null {
  const { delayNs, columns } = bankOf(band);
  let best = -1;
  let explained = 0;
  for (let d = 0; d < delayNs.length; d++) {
    const first = columns[2 * d]!;
    const second = columns[2 * d + 1]!;
    let a = 0;
    let b = 0;
    for (let i = 0; i < first.length; i++) {
      a += first[i]! * values[i]!;
      b += second[i]! * values[i]!;
    }
    if (a * a + b * b > explained) {
      explained = a * a + b * b;
      best = d;
    }
  }
  return best < 0 ? null : { delayNs: delayNs[best]!, explained };
}

/** Cosine and sine of one delay fitted to `values` beside any smooth change of the band. */
export function fitRipple(band: Band, delayNs: number, values: Float64Array): RippleFit {
  const cos = column(band, delayNs, Math.cos);
  const sin = column(band, delayNs, Math.sin);
  takeOut(band.basis, cos);
  takeOut(band.basis, sin);
  let [cc, cs, ss, cv, sv] = [0, 0, 0, 0, 0];
  for (let i = 0; i < cos.length; i++) {
    cc += cos[i]! * cos[i]!;
    cs += cos[i]! * sin[i]!;
    ss += sin[i]! * sin[i]!;
    cv += cos[i]! * values[i]!;
    sv += sin[i]! * values[i]!;
  }
  const determinant = cc * ss - cs * cs;
  if (determinant < 1e-3 * cc * cc) {
    return { delayNs, cosDb: cv / cc, sinDb: 0, explained: (cv * cv) / cc };
  }
  const cosDb = (ss * cv - cs * sv) / determinant;
  const sinDb = (cc * sv - cs * cv) / determinant;
  return { delayNs, cosDb, sinDb, explained: cosDb * cv + sinDb * sv };
}

function bankOf(band: Band): RippleBank {
  let bank = banks.get(band);
  if (bank === undefined) {
    const stepNs = (1000 * DELAY_STEP) / band.reachMhz;
    const delayNs: number[] = [];
    const columns: Float64Array[] = [];
    for (let delay = (1000 * FEWEST_CRESTS) / band.reachMhz; delay <= foldNs(band); delay += stepNs) {
      const pair = orthonormal(band, delay);
      if (pair === null) continue;
      delayNs.push(delay);
      columns.push(...pair);
    }
    bank = { delayNs, columns };
    banks.set(band, bank);
  }
  return bank;
}

/** Near the fold only one of the two columns is left; the second is then zero. */
function orthonormal(band: Band, delayNs: number): [Float64Array, Float64Array] | null {
  const basis = [...band.basis];
  const pair: Float64Array[] = [];
  for (const wave of [Math.cos, Math.sin]) {
    const values = column(band, delayNs, wave);
    takeOut(basis, values);
    takeOut(basis, values);
    const squares = values.reduce((sum, value) => sum + value * value, 0);
    if (squares < 0.02 * values.length) continue;
    const unit = values.map((value) => value / Math.sqrt(squares));
    basis.push(unit);
    pair.push(unit);
  }
  if (pair.length === 0) return null;
  return [pair[0]!, pair[1] ?? new Float64Array(band.names.length)];
}

function column(band: Band, delayNs: number, wave: (angle: number) => number): Float64Array {
  return Float64Array.from(band.freqMhz, (f) => wave(2 * Math.PI * f * delayNs * 1e-3));
}
