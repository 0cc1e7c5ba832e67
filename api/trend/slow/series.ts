import { blockAmbientC, blockMeanDb, historyEnd } from '../blocks.ts';
import type { PointTrend } from '../state.ts';
import { BLOCK_MS, byFeature, FEATURES, type Feature, type Features } from '../types.ts';
import type { Contrast } from './contrast.ts';
import type { Series } from './looks.ts';
import { nuisanceOf } from './nuisance.ts';

/** What an event that is told already adds to a point in a block, dB by feature. */
export type Contribution = (pointId: number, block: number) => Features | null;

const FEWEST_BLOCKS = 6;
/** A point with less than this share of the blocks of the fullest one would leave too few for the others. */
const READABLE_SHARE = 0.6;

/** Points whose history is full enough to be compared with the others'. */
export function readablePoints(points: Readonly<Record<number, PointTrend>>, lastBlock: number): Set<number> {
  const counts = Object.entries(points).map(([id, { history }]) => {
    const count = history.meanCdb.level.filter((mean) => mean !== null).length;
    const recent = historyEnd(history) - 1 >= lastBlock - 2;
    return { pointId: Number(id), count: recent ? count : 0 };
  });
  const most = Math.max(0, ...counts.map(({ count }) => count));
  const needed = Math.max(FEWEST_BLOCKS, READABLE_SHARE * most);
  return new Set(counts.filter(({ count }) => count >= needed).map(({ pointId }) => pointId));
}

/**
 * The contrast over the blocks in which all its points were read; null with too few.
 *
 * @param feed the point whose level moves what is looked at, where one does
 */
export function seriesOf(
  contrast: Contrast,
  points: Readonly<Record<number, PointTrend>>,
  contribution: Contribution,
  feed: PointTrend | null = null,
): Series | null {
  const { members, weights } = contrast;
  const index = commonBlocks(members.map((id) => points[id]!));
  if (index.length < FEWEST_BLOCKS) return null;
  const breaks = breaksOf(contrast, points);
  return {
    index,
    values: byFeature((feature) => {
      const series = new Float64Array(index.length);
      members.forEach((id, m) => {
        addPoint(series, index, id, weights[feature][m]!, feature, points, contribution);
      });
      return series;
    }),
    priorVariance: byFeature((feature) =>
      members.reduce(
        (sum, id, m) => sum + weights[feature][m]! ** 2 * blockVariance(points[id]!, feature),
        0,
      ),
    ),
    alone: contrast.alone,
    breaks,
    nuisance: nuisanceOf(
      index,
      thermometersOf(contrast, index, points),
      breaks,
      feed === null ? [] : levelOf(feed, index),
    ),
  };
}

function levelOf({ history }: PointTrend, index: readonly number[]): (number | null)[] {
  return index.map((block) => blockMeanDb(history, 'level', block));
}

function commonBlocks(members: readonly PointTrend[]): number[] {
  const first = Math.max(...members.map(({ history }) => history.first));
  const end = Math.min(...members.map(({ history }) => historyEnd(history)));
  const index: number[] = [];
  for (let block = first; block < end; block++) {
    if (members.every(({ history }) => blockMeanDb(history, 'level', block) !== null)) index.push(block);
  }
  return index;
}

/** A feature that wasn't measured in a block of its own counts as what it usually is. */
function addPoint(
  series: Float64Array,
  index: readonly number[],
  id: number,
  weight: number,
  feature: Feature,
  points: Readonly<Record<number, PointTrend>>,
  contribution: Contribution,
): void {
  if (weight === 0) return;
  const { history } = points[id]!;
  const measured = history.meanCdb[feature].filter((mean) => mean !== null);
  const sumCdb = measured.reduce((sum, mean) => sum + mean, 0);
  const usual = measured.length === 0 ? 0 : sumCdb / measured.length / 100;
  for (let i = 0; i < index.length; i++) {
    const added = contribution(id, index[i]!)?.[feature] ?? 0;
    series[i]! += weight * ((blockMeanDb(history, feature, index[i]!) ?? usual) - added);
  }
}

/** Of a block mean at one point, by the scatter of its single sweeps, dB². */
function blockVariance({ quick, gapMs }: PointTrend, feature: Feature): number {
  const { variance, products, squares } = quick[feature];
  const correlation = squares > 0 ? Math.min(0.9, Math.max(0, products / squares)) : 0.5;
  const sweeps = Math.max(1, BLOCK_MS / Math.max(1, gapMs));
  return (variance * (1 + correlation)) / (1 - correlation) / sweeps;
}

/**
 * The thermometer in the hop itself, and the one of the site that moves most: what lies outdoors or under the roof moves other hops, and
 * with them all that a hop is held against.
 */
function thermometersOf(
  contrast: Contrast,
  index: readonly number[],
  points: Readonly<Record<number, PointTrend>>,
): (number | null)[][] {
  const at = ({ history }: PointTrend) => index.map((block) => blockAmbientC(history, block));
  const isKnown = (column: (number | null)[]) =>
    column.filter((value) => value !== null).length > index.length / 2;
  const known = Object.values(points).map(at).filter(isKnown);
  if (known.length === 0) return [];
  const own = at(points[contrast.hopTo]!);
  const liveliest = known.reduce((a, b) => (travel(b) > travel(a) ? b : a));
  return isKnown(own) && travel(own) < travel(liveliest) ? [own, liveliest] : [liveliest];
}

/** How far a thermometer goes from block to block, °C on average. */
function travel(column: readonly (number | null)[]): number {
  let [sum, count] = [0, 0];
  for (let i = 1; i < column.length; i++) {
    const [before, now] = [column[i - 1]!, column[i]!];
    if (before === null || now === null) continue;
    sum += Math.abs(now - before);
    count++;
  }
  return count === 0 ? 0 : sum / count;
}

/** An instrument that served all points read off by its own error at each, so no break cancels quite. */
function breaksOf(contrast: Contrast, points: Readonly<Record<number, PointTrend>>): number[] {
  return [...new Set(contrast.members.flatMap((id) => points[id]!.history.breaks))];
}

/** Every feature of a change of `sizeDb` of one shape. */
export function featuresOfShape(perDb: Partial<Features>, sizeDb: number): Features {
  const features = {} as Features;
  for (const feature of FEATURES) features[feature] = (perDb[feature] ?? 0) * sizeDb;
  return features;
}
