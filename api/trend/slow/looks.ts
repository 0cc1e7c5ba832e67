import { type FittedShape, LEVEL_FEATURES, type Shapes } from '../bandBasis.ts';
import { BLOCKS_A_DAY, FEATURES, type Feature, type Features } from '../types.ts';
import { grownBy, type SlowKind } from './growth.ts';
import { type BlockNoise, blockNoise } from './noise.ts';
import { dot, type Nuisance, withoutNuisance } from './nuisance.ts';

/** What a slow change looks like across the band; MER moves by itself. */
export type SlowShape = FittedShape | 'mer';

/** How well one hypothesis explains the blocks of one contrast. */
export interface Look {
  readonly kind: SlowKind;
  readonly shape: SlowShape;
  /** When the change began, in blocks. */
  readonly fromBlock: number;
  /** Size over its standard error. */
  readonly z: number;
  /** Change at the end of the latest block, in dB of the shape, and its standard error at this onset. */
  readonly sizeDb: number;
  readonly errorDb: number;
  /** Days from the onset to the end of the latest block. */
  readonly days: number;
}

/** One contrast over the blocks, feature by feature. */
export interface Series {
  /** Block numbers, rising. */
  readonly index: readonly number[];
  readonly values: Features<Float64Array>;
  /** Variance of a block mean by the scatter of single sweeps, dB². */
  readonly priorVariance: Features;
  readonly alone: boolean;
  /** Blocks from which another level holds. */
  readonly breaks: readonly number[];
  readonly nuisance: Nuisance;
}

/** A series free of nuisance with its noise: what hypotheses are held against. */
export interface Ground {
  readonly series: Series;
  readonly rest: Features<Float64Array>;
  readonly noise: Features<BlockNoise>;
  readonly templates: readonly Template[];
  /** Of each feature's rest and each template. */
  readonly products: Features<readonly number[]>;
}

const RAMP_LAGS = [
  1, 2, 3, 4, 5, 6, 7, 8, 10, 12, 14, 16, 19, 22, 25, 29, 33, 38, 44, 50, 57, 65, 75, 86, 99, 114, 131, 150,
];
const STEP_LAGS = [1, 2, 3, 4, 5, 6, 8, 10, 12, 16, 20, 26, 34, 44, 56];
const MER_FEATURES = ['mer'] as const;
/** A hypothesis needs some blocks before it to differ from. */
const FEWEST_BEFORE = 3;
/** So near a break nothing can be told from it. */
const CLEAR_OF_BREAK = 5;

/** Readies a series for hypotheses; null when none can be told from what moves it anyway. */
export function groundOf(series: Series): Ground | null {
  const templates = templatesOf(series);
  if (templates.length === 0) return null;
  const rest = {} as Features<Float64Array>;
  const noise = {} as Features<BlockNoise>;
  const products = {} as Features<readonly number[]>;
  for (const feature of FEATURES) {
    rest[feature] = withoutNuisance(series.values[feature], series.nuisance);
    products[feature] = templates.map(({ column }) => dot(column, rest[feature]));
    noise[feature] = noiseOf(rest[feature], templates, products[feature], series, feature);
  }
  return { series, rest, noise, templates, products };
}

/**
 * Every hypothesis of slow change held against a contrast: generalised likelihood ratio over shape, kind and onset, each shape by the
 * features that it moves weighted by their noise.
 */
export function looksOf(ground: Ground, shapes: Shapes): Look[] {
  const looks: Look[] = [];
  ground.templates.forEach((template, t) => {
    const share = {} as Features;
    for (const feature of FEATURES) share[feature] = ground.products[feature][t]!;
    for (const shape of Object.keys(shapes) as FittedShape[]) {
      looks.push(lookAt(ground, template, shape, LEVEL_FEATURES, shapes[shape], share));
    }
    looks.push(lookAt(ground, template, 'mer', MER_FEATURES, { mer: 1 }, share));
  });
  return looks;
}

/** The hypothesis of that kind and shape that began so many blocks before the end of the latest one; null where it can't be told. */
export function lookFrom(
  ground: Ground,
  shapes: Shapes,
  { kind, shape }: Pick<Look, 'kind' | 'shape'>,
  lag: number,
): Look | null {
  const template = templateAt(ground.series, kind, lag);
  if (template === null) return null;
  const features = shape === 'mer' ? MER_FEATURES : LEVEL_FEATURES;
  const perDb = shape === 'mer' ? { mer: 1 } : shapes[shape];
  const share = {} as Features;
  for (const feature of features) share[feature] = dot(template.column, ground.rest[feature]);
  return lookAt(ground, template, shape, features, perDb, share);
}

/** By what a size is divided to give the rate. */
export function reachOf({ kind, days }: Pick<Look, 'kind' | 'days'>): number {
  return kind === 'ramp' ? days : 1;
}

/** Onsets that are tried, in blocks before the end of the latest one, rising. */
export function lagsOf(kind: SlowKind): readonly number[] {
  return kind === 'ramp' ? RAMP_LAGS : STEP_LAGS;
}

interface Template {
  readonly kind: SlowKind;
  readonly fromBlock: number;
  readonly days: number;
  /** The change per dB (step) or per dB a day (ramp), free of nuisance. */
  readonly column: Float64Array;
  readonly square: number;
}

function templatesOf(series: Series): Template[] {
  const kinds = ['ramp', 'step'] as const;
  return kinds.flatMap((kind) =>
    lagsOf(kind)
      .map((lag) => templateAt(series, kind, lag))
      .filter((template) => template !== null),
  );
}

function templateAt({ index, nuisance, breaks }: Series, kind: SlowKind, lag: number): Template | null {
  const fromBlock = index[index.length - 1]! + 1 - lag;
  if (!(index[FEWEST_BEFORE - 1]! < fromBlock)) return null;
  if (breaks.some((block) => Math.abs(fromBlock - block) < CLEAR_OF_BREAK)) return null;
  const raw = new Float64Array(index.length);
  let rawSquare = 0;
  for (let i = 0; i < index.length; i++) {
    raw[i] = grownBy(kind, fromBlock, index[i]!);
    rawSquare += raw[i]! ** 2;
  }
  const column = withoutNuisance(raw, nuisance);
  const square = dot(column, column);
  if (square < 1e-3 * rawSquare) return null;
  return { kind, fromBlock, days: lag / BLOCKS_A_DAY, column, square };
}

/** The noise of a series is known better once the onset is: what lies between two onsets that a scan tries is left out of it. */
export function noiseBeside(ground: Ground, { kind, fromBlock }: Pick<Look, 'kind' | 'fromBlock'>): Ground {
  const { series, rest } = ground;
  const template = templateAt(series, kind, series.index.at(-1)! + 1 - fromBlock)!;
  const noise = {} as Features<BlockNoise>;
  for (const feature of FEATURES)
    noise[feature] = noiseAfter(
      rest[feature],
      template,
      dot(template.column, rest[feature]),
      series,
      feature,
    );
  return { ...ground, noise };
}

/** Noise of one feature after the change that explains most of it, so that a real change isn't taken for noise. */
function noiseOf(
  rest: Float64Array,
  templates: readonly Template[],
  products: readonly number[],
  series: Series,
  feature: Feature,
): BlockNoise {
  let best = 0;
  for (let t = 1; t < templates.length; t++) {
    if (products[t]! ** 2 / templates[t]!.square > products[best]! ** 2 / templates[best]!.square) best = t;
  }
  return noiseAfter(rest, templates[best]!, products[best]!, series, feature);
}

function noiseAfter(
  rest: Float64Array,
  { column, square }: Template,
  product: number,
  series: Series,
  feature: Feature,
): BlockNoise {
  const left = rest.map((value, i) => value - (product / square) * column[i]!);
  return blockNoise(left, series.index, series.nuisance, series.priorVariance[feature], series.alone);
}

function lookAt(
  { noise }: Ground,
  template: Template,
  shape: SlowShape,
  features: readonly Feature[],
  perDb: Partial<Features>,
  share: Features,
): Look {
  let score = 0;
  let information = 0;
  for (const feature of features) {
    const effect = perDb[feature]!;
    const { longRunVariance } = noise[feature];
    score += (effect * share[feature]) / longRunVariance;
    information += (effect * effect * template.square) / longRunVariance;
  }
  const reach = reachOf(template);
  return {
    kind: template.kind,
    shape,
    fromBlock: template.fromBlock,
    z: score / Math.sqrt(information),
    sizeDb: (score / information) * reach,
    errorDb: reach / Math.sqrt(information),
    days: template.days,
  };
}
