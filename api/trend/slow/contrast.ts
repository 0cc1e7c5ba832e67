import { medianInPlace } from '../../../ingest/signal/medianInPlace.ts';
import type { PointTrend } from '../state.ts';
import { stretchRoot, subtree } from '../tree.ts';
import { FEATURES, type Feature, type Features, type SitePoint } from '../types.ts';

/**
 * How a change that begins in the hop ending at `hopTo` shows: a weighted sum over the points in which the change itself counts once,
 * and what they share (the feed's wander, the weather) cancels as far as it matters.
 */
export interface Contrast {
  readonly hopTo: number;
  /** Points that the change reaches. */
  readonly plus: readonly number[];
  readonly members: readonly number[];
  /** By feature, parallel to `members`. */
  readonly weights: Features<readonly number[]>;
  /** By feature: the variance of the contrast is σ² over this, σ being a point's own noise. */
  readonly worth: Features;
  /** Every member is reached: nothing is left to compare with. */
  readonly alone: boolean;
}

/** Differences over a day leave out the rhythm of the day, and little of a slow fault enters. */
const LAG_BLOCKS = 4;
const FEWEST_PAIRS = 8;
/** With fewer quiet blocks than this all are taken. */
const FEWEST_QUIET = 24;
const CLIP = 3;
/** A feed's level always wanders: only differences tell where a change of level begins. */
const LEVEL_WANDER = 1e6;

/**
 * The contrasts of a site, one for each point that can be read: generalised least squares for points that share one wander, x = change
 * + wander + own noise, so the weights are those of 1′Σ⁻¹ with Σ = σ²I + ω²11′ (Sherman and Morrison). Where nothing is shared they
 * are the plain mean of the points reached; where the wander is all, the difference across the hop.
 *
 * @param readable points with enough history
 * @param quietUntil block before which no change that is known shows: what a fault moves at many points at once is no shared wander
 * @param passes gear that corrects itself lets the change through: true of MER, not of level
 */
export function contrastsOf(
  site: readonly SitePoint[],
  points: Readonly<Record<number, PointTrend>>,
  readable: ReadonlySet<number>,
  quietUntil: number,
  passes: boolean,
): Contrast[] {
  const ids = site.map(({ pointId }) => pointId).filter((id) => readable.has(id));
  const rootOf = (id: number) => (passes ? 0 : stretchRoot(site, id));
  const wanderOf = new Map<number, Features>();
  return ids.map((hopTo) => {
    const root = rootOf(hopTo);
    const members = ids.filter((id) => rootOf(id) === root);
    const stretch = site.filter(({ pointId }) => rootOf(pointId) === root);
    const below = subtree(stretch, hopTo);
    const plus = members.filter((id) => below.has(id));
    if (!wanderOf.has(root)) wanderOf.set(root, sharedWander(members, points, quietUntil));
    const wander = wanderOf.get(root)!;
    const weights = {} as Features<readonly number[]>;
    const worth = {} as Features;
    for (const feature of FEATURES) {
      const shared = wander[feature] / (1 + members.length * wander[feature]);
      worth[feature] = plus.length * (1 - shared * plus.length);
      weights[feature] = members.map(
        (id) => ((plus.includes(id) ? 1 : 0) - shared * plus.length) / worth[feature],
      );
    }
    return { hopTo, plus, members, weights, worth, alone: plus.length === members.length };
  });
}

/** ω²/σ² of each feature: covariance between points over what is left of their variance. */
function sharedWander(
  members: readonly number[],
  points: Readonly<Record<number, PointTrend>>,
  quietUntil: number,
): Features {
  const ratios = {} as Features;
  for (const feature of FEATURES) {
    ratios[feature] = feature === 'level' ? LEVEL_WANDER : ratioOf(members, points, quietUntil, feature);
  }
  return ratios;
}

function ratioOf(
  members: readonly number[],
  points: Readonly<Record<number, PointTrend>>,
  quietUntil: number,
  feature: Feature,
): number {
  const moves = members.map((id) => dailyMoves(points[id]!, quietUntil, feature));
  let variance = 0;
  let covariance = 0;
  let pairs = 0;
  for (let a = 0; a < moves.length; a++) {
    variance += meanProduct(moves[a]!, moves[a]!).mean / moves.length;
    for (let b = 0; b < a; b++) {
      const { mean, count } = meanProduct(moves[a]!, moves[b]!);
      if (count < FEWEST_PAIRS) continue;
      covariance += mean;
      pairs++;
    }
  }
  if (pairs === 0) return 0;
  const shared = Math.max(0, covariance / pairs);
  return shared / Math.max(variance - shared, 0.1 * variance, 1e-9);
}

/** Change over a day by block, from block `first` on, clipped at three times the usual size so that a step doesn't pass for a wander; NaN where unknown. */
interface DailyMoves {
  readonly first: number;
  readonly db: Float64Array;
}

function dailyMoves({ history }: PointTrend, quietUntil: number, feature: Feature): DailyMoves {
  const means = history.meanCdb[feature];
  const quiet = quietUntil - history.first;
  const blocks = quiet >= FEWEST_QUIET ? Math.min(quiet, means.length) : means.length;
  const db = new Float64Array(Math.max(0, blocks - LAG_BLOCKS));
  const room = new Float64Array(db.length);
  let count = 0;
  for (let i = 0; i < db.length; i++) {
    const [before, now] = [means[i]!, means[i + LAG_BLOCKS]!];
    db[i] = now === null || before === null ? Number.NaN : (now - before) / 100;
    if (!Number.isNaN(db[i]!)) room[count++] = Math.abs(db[i]!);
  }
  const most = CLIP * medianInPlace(room, count);
  for (let i = 0; i < db.length; i++) db[i] = Math.max(-most, Math.min(most, db[i]!));
  return { first: history.first + LAG_BLOCKS, db };
}

function meanProduct(a: DailyMoves, b: DailyMoves): { mean: number; count: number } {
  let sum = 0;
  let count = 0;
  const from = Math.max(a.first, b.first);
  const to = Math.min(a.first + a.db.length, b.first + b.db.length);
  for (let block = from; block < to; block++) {
    const product = a.db[block - a.first]! * b.db[block - b.first]!;
    if (Number.isNaN(product)) continue;
    sum += product;
    count++;
  }
  return { mean: count === 0 ? 0 : sum / count, count };
}
