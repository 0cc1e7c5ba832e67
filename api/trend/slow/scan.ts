import type { EventState, PointTrend, SlowFit } from '../state.ts';
import type { Features, SitePoint } from '../types.ts';
import { BLOCK_MS } from '../types.ts';
import { type Contrast, contrastsOf } from './contrast.ts';
import { grownBy } from './growth.ts';
import { type Ground, groundOf, type Look, looksOf, type SlowShape } from './looks.ts';
import { type Contribution, featuresOfShape, readablePoints, seriesOf } from './series.ts';

/** One hypothesis of a place with its best explanation. */
export interface Sighting {
  readonly contrast: Contrast;
  readonly best: Look;
  /** What it was found in. */
  readonly ground: Ground;
  /** z of each shape at the onset and kind of the best. */
  readonly byShape: Partial<Record<SlowShape, number>>;
}

const LEVEL_SHAPES: readonly SlowShape[] = ['flat', 'cable', 'low-end', 'steep-low-end'];

/**
 * Every hop of a site with the slow change that fits it best, likeliest first.
 *
 * @param told events whose contribution is taken out first
 * @param quietUntil block before which no slow change that is open shows
 */
export function scanSite(
  site: readonly SitePoint[],
  points: Readonly<Record<number, PointTrend>>,
  lastBlock: number,
  told: readonly EventState[],
  quietUntil = Number.POSITIVE_INFINITY,
): Sighting[] {
  const readable = readablePoints(points, lastBlock);
  const contribution = contributionOf(told, points);
  const sightings: Sighting[] = [];
  const seen = new Map<string, { ground: Ground; looks: readonly Look[] } | null>();
  const looksAt = (contrast: Contrast, feed: PointTrend | null) => {
    // Without gear that corrects itself, level and MER are held against the same points.
    const key = `${contrast.hopTo} of ${contrast.members}${feed === null ? '' : ' fed'}`;
    if (!seen.has(key)) {
      const series = seriesOf(contrast, points, contribution, feed);
      const perDb = points[contrast.hopTo]?.shapes;
      const ground = series && groundOf(series);
      seen.set(key, ground && perDb ? { ground, looks: looksOf(ground, perDb) } : null);
    }
    return seen.get(key)!;
  };
  const look = (contrast: Contrast, shapes: readonly SlowShape[], feed: PointTrend | null = null): void => {
    const found = looksAt(contrast, feed);
    if (found === null) return;
    const looks = found.looks.filter(({ shape }) => shapes.includes(shape));
    const best = looks.reduce<Look | null>(
      (a, b) => (a === null || Math.abs(b.z) > Math.abs(a.z) ? b : a),
      null,
    );
    if (best !== null)
      sightings.push({ contrast, best, ground: found.ground, byShape: byShapeOf(best, looks) });
  };
  for (const contrast of contrastsOf(site, points, readable, quietUntil, false)) look(contrast, LEVEL_SHAPES);
  // Noise adds in power, so that it shows by less from hop to hop: what one event reaches can't be cleared of it exactly.
  const taken = new Set(told.flatMap(({ slow }) => (slow?.shape === 'mer' ? slow.reach : [])));
  const quiet = new Set([...readable].filter((id) => !taken.has(id)));
  const feed = feedOf(site, points);
  for (const contrast of contrastsOf(site, points, quiet, quietUntil, true)) look(contrast, ['mer'], feed);
  return sightings.sort((a, b) => Math.abs(b.best.z) - Math.abs(a.best.z));
}

/** Gear that corrects itself takes the feed's wander from the level below it and, where its input is low, lets it into MER. */
function feedOf(site: readonly SitePoint[], points: Readonly<Record<number, PointTrend>>): PointTrend | null {
  if (!site.some(({ correctsItself }) => correctsItself)) return null;
  const handoff = site.find(({ isHandoff }) => isHandoff);
  return (handoff && points[handoff.pointId]) ?? null;
}

function byShapeOf(best: Look, looks: readonly Look[]): Partial<Record<SlowShape, number>> {
  const same = looks.filter(({ kind, fromBlock }) => kind === best.kind && fromBlock === best.fromBlock);
  return Object.fromEntries(same.map(({ shape, z }) => [shape, z]));
}

/** What told events add to each point and block. */
function contributionOf(
  told: readonly EventState[],
  points: Readonly<Record<number, PointTrend>>,
): Contribution {
  const slow = told.map(({ slow }) => slow).filter((fit) => fit !== null);
  if (slow.length === 0) return () => null;
  return (pointId, block) => {
    let sum: Features | null = null;
    for (const fit of slow) {
      const grown = grownBy(fit.kind, fit.fromBlock, block);
      if (grown === 0 || !fit.reach.includes(pointId)) continue;
      const added = featuresOfShape(perDbOf(fit, points[pointId]!), fit.rate * grown);
      sum = sum === null ? added : plus(sum, added);
    }
    return sum;
  };
}

/** What 1 dB of a slow change gives in features at a point. */
export function perDbOf({ shape }: Pick<SlowFit, 'shape'>, point: PointTrend): Partial<Features> {
  return shape === 'mer' ? { mer: 1 } : (point.shapes?.[shape] ?? {});
}

function plus(a: Features, b: Features): Features {
  return {
    level: a.level + b.level,
    tilt: a.tilt + b.tilt,
    bow: a.bow + b.bow,
    lowEnd: a.lowEnd + b.lowEnd,
    mer: a.mer + b.mer,
  };
}

/** A block's first moment, ms; a part of a block lies within it. */
export function blockStartMs(block: number): number {
  return Math.round(block * BLOCK_MS);
}
