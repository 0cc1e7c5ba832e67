import {
  bandShapeOf,
  type FittedShape,
  LEVEL_FEATURES,
  type LevelFeatures,
  type Shapes,
} from './bandBasis.ts';
import type { BandShape, Feature, Features, Finding } from './types.ts';

/** MER speaks for itself when level stands out less than this, in standard errors. */
const QUIET = 3;

export interface Classified {
  readonly shape: BandShape | null;
  readonly metric: Finding['metric'];
  /** Chance of each shape among the three, by likelihood; null for MER. */
  readonly odds: Readonly<Record<BandShape, number>> | null;
}

/**
 * Which shape a change has across the band: each is fitted to the features by weighted least squares, and the likeliest taken.
 *
 * @param shapes null without a frame
 * @param stoodOut the feature that told the change
 */
export function classify(
  change: Features,
  errorDb: Features,
  shapes: Shapes | null,
  stoodOut: Feature,
): Classified {
  const z = (feature: Feature) => Math.abs(change[feature]) / errorDb[feature];
  if (stoodOut === 'mer' && z('level') < QUIET && z('tilt') < QUIET && z('lowEnd') < QUIET) {
    return { shape: null, metric: 'mer', odds: null };
  }
  if (shapes === null) return { shape: null, metric: stoodOut === 'tilt' ? 'tilt' : 'level', odds: null };

  const gains = (Object.keys(shapes) as FittedShape[]).map(
    (name) => [name, gainOf(shapes[name], change, errorDb)] as const,
  );
  const shape = bandShapeOf(gains.reduce((a, b) => (b[1] > a[1] ? b : a))[0]);
  return { shape, metric: shape === 'flat' ? 'level' : 'tilt', odds: oddsBy(gains) };
}

/** Chance of each shape from the χ² that it explains, alike before the readings; hundredths. */
export function oddsBy(
  gains: readonly (readonly [shape: FittedShape, chiSquare: number])[],
): Record<BandShape, number> {
  const most = Math.max(...gains.map(([, gain]) => gain));
  const odds = { flat: 0, cable: 0, 'low-end': 0 };
  for (const [shape, gain] of gains) {
    const name = bandShapeOf(shape);
    odds[name] = Math.max(odds[name], Math.exp(Math.max(-50, (gain - most) / 2)));
  }
  const total = odds.flat + odds.cable + odds['low-end'];
  for (const name of Object.keys(odds) as BandShape[])
    odds[name] = Math.round((100 * odds[name]) / total) / 100;
  return odds;
}

/** How much of the change, in χ², one shape explains. */
function gainOf(perDb: LevelFeatures, change: Features, errorDb: Features): number {
  let score = 0;
  let information = 0;
  for (const feature of LEVEL_FEATURES) {
    const weight = 1 / errorDb[feature] ** 2;
    score += perDb[feature] * change[feature] * weight;
    information += perDb[feature] ** 2 * weight;
  }
  return information === 0 ? 0 : (score * score) / information;
}
