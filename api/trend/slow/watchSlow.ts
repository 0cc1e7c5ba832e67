import { bandShapeOf, type FittedShape } from '../bandBasis.ts';
import { blockOf, breakHistory, endBlock } from '../blocks.ts';
import { areRelated, atPoint, beginEvent, closeEvent, startAt } from '../eventState.ts';
import { thousandths } from '../rounding.ts';
import { oddsBy } from '../shape.ts';
import type { EventState, PointTrend, SiteTrend, SlowFit } from '../state.ts';
import { NORMAL_80 } from '../statistics/normal.ts';
import { subtree } from '../tree.ts';
import { DAY_MS, FEATURES, type Features, type SitePoint } from '../types.ts';
import { beganNear, isKnown, isLeftover, isShadow } from './alreadyKnown.ts';
import { type Look, reachOf, type SlowShape } from './looks.ts';
import type { Onset } from './onset.ts';
import { atBestOnset, nearOf, type Refined, rivalsOf } from './placeSlow.ts';
import { blockStartMs, perDbOf, type Sighting, scanSite } from './scan.ts';

/**
 * Size over standard error from which a slow change is told: each scan looks at some forty onsets, five shapes and every hop, four
 * times a day. Set so that a fault-free site of four points gives fewer than one in ten years; `npm run evaluate` counts them.
 */
const TOLD_Z = 6.5;
/** With few blocks the noise is hardly known, least where a wander that lasts for days isn't cancelled. */
const YOUNG_BLOCKS = 4;
const YOUNG_ALONE_BLOCKS = 20;
/** Below this an open one has faded. */
const FADED_Z = 3;
/** Smaller changes are no finding yet, dB of the shape. */
const SMALLEST_DB: Readonly<Record<SlowShape, number>> = {
  flat: 0.14,
  cable: 0.2,
  'low-end': 0.2,
  'steep-low-end': 0.2,
  mer: 0.18,
};
/** Hops that explain what was seen almost as well, in χ². */
const ALMOST = 5;
/** A hop is clear when every other fits so much worse. */
const CLEARLY = 10;
/** So large a change isn't kept back for its place, size over standard error. */
const PLACED_Z = 12;
const GONE_SHARE = 0.3;
const MOST_NEW = 3;
/** An onset so long ago leaves too little of the time before it to be fitted any more; the last fit stands. */
const OLDEST_ONSET_BLOCKS = 140;

/** Once a block: brings open slow changes up to date and looks for new ones. `atMs` is the first sweep of the new block. */
export function watchSlow(trend: SiteTrend, site: readonly SitePoint[], atMs: number): void {
  const { events } = trend.shared;
  const lastBlock = blockOf(atMs) - 1;
  for (const point of Object.values(trend.points)) endBlock(point, lastBlock + 1);
  const isOpen = (event: EventState) => event.slow !== null && event.closedMs === null;

  for (const event of events.filter(isOpen)) {
    const others = events.filter((other) => isOpen(other) && other !== event);
    refit(trend, site, event, scanSite(site, trend.points, lastBlock, others, quietUntil(trend)), atMs);
  }
  for (let found = 0; found < MOST_NEW; found++) {
    const sightings = scanSite(site, trend.points, lastBlock, events.filter(isOpen), quietUntil(trend));
    const news = newsAmong(trend, site, sightings);
    if (news === null || !takeUp(trend, site, news, atMs)) return;
  }
}

/** The likeliest change that is told by no event yet, at the hop that explains it best, the others after it; null when there is none. */
function newsAmong(
  trend: SiteTrend,
  site: readonly SitePoint[],
  sightings: readonly Sighting[],
): Refined[] | null {
  if (!sightings.some(isClear)) return null;
  const unknown = sightings.filter(
    (sighting) => !isLeftover(trend, site, sighting) && !isShadow(trend, site, sighting, sightings),
  );
  for (const sighting of unknown.filter(isClear)) {
    const placed = atBestOnset(trend, nearOf(site, sighting, sighting.contrast.hopTo, unknown));
    if (isPlaced(placed)) return placed;
  }
  return null;
}

/** Block before which none of the open slow changes shows. */
function quietUntil({ shared }: SiteTrend): number {
  const onsets = shared.events.flatMap(({ slow, closedMs }) =>
    slow === null || closedMs !== null ? [] : [slow.fromBlock],
  );
  return Math.floor(Math.min(...onsets));
}

function isClear({ best, contrast, ground }: Sighting): boolean {
  const young = contrast.alone && best.shape !== 'mer' ? YOUNG_ALONE_BLOCKS : YOUNG_BLOCKS;
  return (
    Math.abs(best.z) >= TOLD_Z * (1 + young / ground.series.index.length) &&
    Math.abs(best.sizeDb) >= SMALLEST_DB[best.shape]
  );
}

/** A change that another hop explains nearly as well is worth a few more hours, until it stands out anyway. */
function isPlaced(placed: readonly Refined[]): boolean {
  const [likeliest] = placed as [Refined];
  return Math.abs(likeliest.best.z) >= PLACED_Z || rivalsOf(likeliest, placed, CLEARLY).length === 0;
}

/** Begins an event, or lets a near one have it; false when nothing came of it. */
function takeUp(
  trend: SiteTrend,
  site: readonly SitePoint[],
  placed: readonly Refined[],
  atMs: number,
): boolean {
  const [sighting] = placed as [Refined];
  const onsetMs = blockStartMs(sighting.best.fromBlock);
  const quick = trend.shared.events.find(
    (event) =>
      event.slow === null &&
      tellsAlike(event, sighting) &&
      areRelated(site, event.root, sighting.contrast.hopTo) &&
      Math.abs((event.closedMs ?? event.onsetMs) - onsetMs) <= 1.5 * DAY_MS,
  );
  if (quick) {
    for (const id of sighting.contrast.plus) breakHistory(trend.points[id]!, quick.closedMs ?? quick.onsetMs);
    return false;
  }
  const hidden = trend.shared.events.find(
    (event) =>
      event.slow?.shape === 'mer' &&
      event.closedMs === null &&
      sighting.best.shape !== 'mer' &&
      subtree(site, sighting.contrast.hopTo).has(event.root),
  );
  const event =
    hidden ??
    beginEvent(trend, {
      kind: 'drift',
      metric: 'level',
      detectedMs: atMs,
      onsetMs,
      onsetLowMs: onsetMs,
      onsetHighMs: onsetMs,
      root: sighting.contrast.hopTo,
    });
  fit(trend, event, sighting, placed, atMs);
  return true;
}

/** A step that single sweeps told, of the same kind and direction and about as large. */
function tellsAlike(event: EventState, { best, contrast }: Sighting): boolean {
  if (event.kind !== 'step' || (event.metric === 'mer') !== (best.shape === 'mer')) return false;
  if ((event.metric === 'level') !== (best.shape === 'flat') && best.shape !== 'mer') return false;
  const size =
    event.at.find(({ pointId }) => contrast.plus.includes(pointId))?.sizeDb ?? event.at[0]?.sizeDb ?? 0;
  const ratio = size / best.sizeDb;
  return ratio > 0.4 && ratio < 2.5;
}

function refit(
  trend: SiteTrend,
  site: readonly SitePoint[],
  event: EventState,
  sightings: readonly Sighting[],
  atMs: number,
): void {
  if (event.slow!.fromBlock < blockOf(atMs) - OLDEST_ONSET_BLOCKS) return;
  const wasMer = event.slow!.shape === 'mer';
  const own = sightings.filter(
    ({ best, contrast }) =>
      (best.shape === 'mer') === wasMer &&
      Math.sign(best.sizeDb) === Math.sign(event.slow!.sizeDb) &&
      (contrast.hopTo === event.root ||
        (areRelated(site, contrast.hopTo, event.root) && beganNear(best, event))),
  );
  const best = own[0];
  const isGone =
    best === undefined ||
    Math.abs(best.best.z) < FADED_Z ||
    (!isClear(best) && Math.abs(best.best.sizeDb) < GONE_SHARE * Math.abs(event.slow!.peakDb));
  if (isGone || isKnown(trend, site, best)) {
    if (best !== undefined) closeEvent(event, atMs);
    return;
  }
  const placed = atBestOnset(trend, nearOf(site, best, event.root, own));
  fit(trend, event, placed[0]!, placed, atMs);
}

function fit(
  trend: SiteTrend,
  event: EventState,
  sighting: Refined,
  sightings: readonly Sighting[],
  atMs: number,
): void {
  const { best, contrast, onset } = sighting;
  event.slow = slowFit(onset, contrast.plus, event.slow);
  event.kind = best.kind === 'ramp' ? 'drift' : 'step';
  event.shape = best.shape === 'mer' ? null : bandShapeOf(best.shape);
  event.metric = best.shape === 'mer' ? 'mer' : best.shape === 'flat' ? 'level' : 'tilt';
  event.feature = best.shape === 'mer' ? 'mer' : best.shape === 'flat' ? 'level' : 'tilt';
  event.onsetMs = blockStartMs(event.slow.fromBlock);
  event.onsetLowMs = blockStartMs(onset.fromBlock[0]);
  event.onsetHighMs = Math.min(atMs, blockStartMs(onset.fromBlock[1]));
  event.root = contrast.hopTo;
  const rivals = rivalsOf(sighting, sightings, ALMOST);
  event.alsoPossible = rivals.map((rival) => rival.contrast.hopTo);
  event.sure = rivals.length === 0;
  event.evidence = {
    ...event.evidence,
    z: Math.round(10 * best.z) / 10,
    shapeOdds: oddsOf(sightings, contrast.hopTo, best),
    features: featureSizes(trend.points[contrast.hopTo]!, event.slow),
  };
  placeSizes(trend, event);
}

function slowFit(
  { best, sizeDb, rate, spread }: Onset,
  reach: readonly number[],
  before: SlowFit | null,
): SlowFit {
  const peak =
    before === null || Math.abs(best.sizeDb) > Math.abs(before.peakDb) ? best.sizeDb : before.peakDb;
  return {
    kind: best.kind,
    shape: best.shape,
    fromBlock: best.fromBlock,
    rate: best.sizeDb / reachOf(best),
    rateLow: rate[0],
    rateHigh: rate[1],
    sizeDb: thousandths(best.sizeDb),
    sizeLowDb: thousandths(sizeDb[0]),
    sizeHighDb: thousandths(sizeDb[1]),
    spread,
    z: best.z,
    peakDb: thousandths(peak),
    reach,
  };
}

/** Chance of each band shape at the same hop, by likelihood. */
function oddsOf(sightings: readonly Sighting[], hopTo: number, best: Look): Record<string, number> | null {
  if (best.shape === 'mer') return null;
  const looks = sightings.find(
    ({ contrast, best: own }) => contrast.hopTo === hopTo && own === best,
  )?.byShape;
  return looks ? oddsBy(Object.entries(looks).map(([shape, z]) => [shape as FittedShape, z * z])) : null;
}

function featureSizes(point: PointTrend, slow: SlowFit): Record<string, { db: number; errorDb: number }> {
  const perDb = perDbOf(slow, point);
  const error = (slow.sizeHighDb - slow.sizeLowDb) / (2 * NORMAL_80);
  return Object.fromEntries(
    FEATURES.filter((feature) => perDb[feature] !== undefined).map((feature) => [
      feature,
      {
        db: thousandths(perDb[feature]! * slow.sizeDb),
        errorDb: thousandths(Math.abs(perDb[feature]!) * error),
      },
    ]),
  );
}

/** Writes what each point that it reaches shows of the event. */
function placeSizes(trend: SiteTrend, event: EventState): void {
  const slow = event.slow!;
  event.at = event.at.filter(({ pointId }) => slow.reach.includes(pointId));
  for (const id of slow.reach) {
    if (!atPoint(event, id)) event.at.push(startAt(id));
    const at = atPoint(event, id)!;
    const share = perDbOf(slow, trend.points[id]!)[event.feature as keyof Features] ?? 0;
    const sizes = [slow.sizeLowDb, slow.sizeHighDb].map((size) => thousandths(share * size));
    at.sizeDb = thousandths(share * slow.sizeDb);
    at.sizeLowDb = Math.min(...sizes);
    at.sizeHighDb = Math.max(...sizes);
  }
}
