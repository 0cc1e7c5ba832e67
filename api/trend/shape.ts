import type { LevelFeatures } from './bandBasis.ts';
import type { BandShape, Feature, Features, Finding } from './types.ts';

const LEVEL_FEATURES = ['level', 'tilt', 'bow', 'lowEnd'] as const;
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
 * @param shapes what 1 dB of each gives in features; null without a frame
 * @param stoodOut the feature that told the change
 */
export function classify(
  change: Features,
  errorDb: Features,
  shapes: Readonly<Record<BandShape, LevelFeatures>> | null,
  stoodOut: Feature,
): Classified {
  const z = (feature: Feature) => Math.abs(change[feature]) / errorDb[feature];
  if (stoodOut === 'mer' && z('level') < QUIET && z('tilt') < QUIET && z('lowEnd') < QUIET) {
    return { shape: null, metric: 'mer', odds: null };
  }
  if (shapes === null) return { shape: null, metric: stoodOut === 'tilt' ? 'tilt' : 'level', odds: null };

  const names = Object.keys(shapes) as BandShape[];
  const gains = names.map((name) => gainOf(shapes[name], change, errorDb));
  const most = Math.max(...gains);
  const weights = gains.map((gain) => Math.exp(Math.max(-50, (gain - most) / 2)));
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  const odds = Object.fromEntries(
    names.map((name, i) => [name, Math.round((100 * weights[i]!) / total) / 100]),
  ) as Record<BandShape, number>;
  const shape = names[gains.indexOf(most)]!;
  return { shape, metric: shape === 'flat' ? 'level' : 'tilt', odds };
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
