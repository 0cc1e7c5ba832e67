import { thousandths } from './rounding.ts';
import type { BandShape, Features } from './types.ts';

/** A cable-shaped change is stated at this frequency, MHz; a low-end one at the lowest carrier. */
export const CABLE_TOP_MHZ = 1000;

/** The features of level without MER. */
export const LEVEL_FEATURES = ['level', 'tilt', 'bow', 'lowEnd'] as const;

export type LevelFeatures = Pick<Features, (typeof LEVEL_FEATURES)[number]>;

/**
 * Shapes as they are fitted. A poor contact is a small capacitor in series, whose loss goes with 1/f² while it is small; corrosion
 * spread over several flattens it to something like f^−0.75 (common practice, no source).
 */
export type FittedShape = BandShape | 'steep-low-end';

/** What 1 dB of a shape does, to thousandths: points remember it. */
export interface ShapeEffect extends LevelFeatures {
  /** To the carrier that it moves most, dB. */
  readonly most: number;
}

export type Shapes = Readonly<Record<FittedShape, ShapeEffect>>;

/** The name under which a fitted shape is told. */
export function bandShapeOf(shape: FittedShape): BandShape {
  return shape === 'steep-low-end' ? 'low-end' : shape;
}

const LOW_END_POWER = 0.75;
const STEEP_POWER = 2;

/**
 * Four columns over the carriers of a frame, each orthogonal to the others: constant, straight line, what √f adds to it (bow) and what
 * 1/f adds to all three (low end). Carriers that can't be compared have 0 in every column.
 */
export interface BandBasis {
  /** 1 where a carrier counts. */
  readonly constant: Float64Array;
  /** (f − mean)/(high − low): its coefficient is the tilt. */
  readonly line: Float64Array;
  /** Remainder of √(f/1000): its coefficient is dB at 1 GHz of cable loss. */
  readonly bow: Float64Array;
  /** Remainder of low/f: its coefficient is dB at the low end. */
  readonly lowEnd: Float64Array;
  /** Sums of squares of the four columns; 0 where a column says nothing. */
  readonly squares: readonly [number, number, number, number];
  /** From the constant's centre to mid band, as a share of the band. */
  readonly toMiddle: number;
  readonly shapes: Shapes;
}

/** With fewer carriers a curve can't be told from noise. */
const FEWEST_FOR_CURVES = 12;
/** Over a narrow band a curve is hardly more than a line: below this root mean square its size would be all noise. */
const LEAST_CURVE = 0.012;

/**
 * Lays out the basis.
 * @param freqMhz rising
 * @param compared whether each carrier counts
 * @param lowMhz, highMhz ends of the band that tilt speaks of
 */
export function bandBasis(
  freqMhz: readonly number[],
  compared: readonly boolean[],
  lowMhz: number,
  highMhz: number,
): BandBasis {
  const span = Math.max(1, highMhz - lowMhz);
  const used = freqMhz.filter((_, i) => compared[i]);
  const meanMhz = used.reduce((sum, mhz) => sum + mhz, 0) / Math.max(1, used.length);
  const column = (value: (mhz: number) => number) =>
    Float64Array.from(freqMhz, (mhz, i) => (compared[i] ? value(mhz) : 0));

  const constant = column(() => 1);
  const line = column((mhz) => (mhz - meanMhz) / span);
  const bow = column((mhz) => Math.sqrt(mhz / CABLE_TOP_MHZ));
  const lowEnd = column((mhz) => lowMhz / mhz);
  const cable = bow.slice();
  const fallingWith = (power: number) => column((mhz) => (lowMhz / mhz) ** power);
  removeFrom(bow, [constant, line]);
  removeFrom(lowEnd, [constant, line, bow]);
  const isEnough = used.length >= FEWEST_FOR_CURVES;
  for (const curve of [bow, lowEnd]) {
    const typical = Math.sqrt(sumOfSquares(curve) / Math.max(1, used.length));
    if (!isEnough || typical < LEAST_CURVE) curve.fill(0);
  }
  const squares = [constant, line, bow, lowEnd].map(sumOfSquares) as [number, number, number, number];
  const basis = { constant, line, bow, lowEnd, squares, toMiddle: ((lowMhz + highMhz) / 2 - meanMhz) / span };
  return {
    ...basis,
    shapes: {
      flat: { level: 1, tilt: 0, bow: 0, lowEnd: 0, most: 1 },
      cable: effectOf(basis, cable),
      'low-end': effectOf(basis, fallingWith(LOW_END_POWER)),
      'steep-low-end': effectOf(basis, fallingWith(STEEP_POWER)),
    },
  };
}

type Columns = Omit<BandBasis, 'shapes'>;

/** Features of a change given for each carrier, by least squares. */
export function project(basis: Columns, change: ArrayLike<number>): LevelFeatures {
  const [constant, line, bow, lowEnd] = coefficients(basis, change);
  return { level: constant + line * basis.toMiddle, tilt: line, bow, lowEnd };
}

function effectOf(basis: Columns, shape: Float64Array): ShapeEffect {
  const { level, tilt, bow, lowEnd } = project(basis, shape);
  return {
    level: thousandths(level),
    tilt: thousandths(tilt),
    bow: thousandths(bow),
    lowEnd: thousandths(lowEnd),
    most: thousandths(Math.max(...shape)),
  };
}

/** Least-squares coefficients of the four columns. */
export function coefficients(basis: Columns, change: ArrayLike<number>): [number, number, number, number] {
  const { constant, line, bow, lowEnd, squares } = basis;
  let [a, b, c, d] = [0, 0, 0, 0];
  for (let i = 0; i < constant.length; i++) {
    const value = change[i]!;
    a += constant[i]! * value;
    b += line[i]! * value;
    c += bow[i]! * value;
    d += lowEnd[i]! * value;
  }
  return [over(a, squares[0]), over(b, squares[1]), over(c, squares[2]), over(d, squares[3])];
}

function removeFrom(column: Float64Array, others: readonly Float64Array[]): void {
  for (const other of others) {
    const share = over(dot(column, other), sumOfSquares(other));
    for (let i = 0; i < column.length; i++) column[i]! -= share * other[i]!;
  }
}

function over(product: number, square: number): number {
  return square > 1e-9 ? product / square : 0;
}

function sumOfSquares(column: Float64Array): number {
  return dot(column, column);
}

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i]! * b[i]!;
  return sum;
}
