import type { Shapes } from '../bandBasis.ts';
import type { Spread } from '../state.ts';
import type { Features } from '../types.ts';
import { type Ground, type Look, lagsOf, lookFrom, noiseBeside, reachOf } from './looks.ts';
import type { BlockNoise } from './noise.ts';

/**
 * Intervals are wider by this than the noise of the blocks makes them, for what the model leaves out: set on the simulated fleet so that
 * four of five hold the truth; `npm run evaluate` counts them.
 */
const WIDER = 1.09;
/** The same for days to a limit, which lean on the rate. */
const SPREAD_WIDER = 1.17;
/** No change has quite the shape that was fitted: share of its size. Common practice, no source. */
const MISFIT = 0.02;
/** How much of χ² an onset may fit worse than the best and still belong to the 80 % interval (one degree of freedom). */
const NEAR = 1.642 * WIDER ** 2;
/** Onsets are told apart to a quarter of a block. */
const STEP_BLOCKS = 0.25;
/** An onset that fits so much worse hardly counts any more. */
const FAR = 8;

/** A slow change with its onset found within a block, and what else it may be: 80 % intervals. */
export interface Onset {
  readonly best: Look;
  /** Of the blocks beside it. */
  readonly noise: Features<BlockNoise>;
  /** When it began, in blocks. */
  readonly fromBlock: readonly [low: number, high: number];
  /** Change at the end of the latest block, dB of the shape. */
  readonly sizeDb: readonly [low: number, high: number];
  /** dB of the shape a day (ramp) or dB (step). */
  readonly rate: readonly [low: number, high: number];
  readonly spread: Spread;
}

/** Goes closely over the time around the likeliest of the onsets that a scan tried. Intervals are those of the profile likelihood. */
export function refineOnset(ground: Ground, shapes: Shapes, scanned: Look): Onset {
  const rough = likeliest(looksAround(ground, shapes, scanned));
  const beside = noiseBeside(ground, rough);
  const looks = looksAround(beside, shapes, scanned);
  const best = likeliest(looks);
  const near = looks.filter((look) => drop(best, look) <= NEAR);
  return {
    best,
    noise: beside.noise,
    fromBlock: [edge(looks, best, 1), edge(looks, best, -1)],
    sizeDb: profile(best, near, () => 1),
    rate: profile(best, near, reachOf),
    spread: spreadOf(best, looks),
  };
}

function likeliest(looks: readonly Look[]): Look {
  return looks.reduce((a, b) => (Math.abs(b.z) > Math.abs(a.z) ? b : a));
}

/** Looks like `scanned` from all the time around it, latest onset first, as far as the next lag of the scan that fits much worse. */
function looksAround(ground: Ground, shapes: Shapes, scanned: Look): Look[] {
  const lags = lagsOf(scanned.kind);
  const at = (lag: number) => lookFrom(ground, shapes, scanned, lag);
  const isNear = (lag: number) => {
    const look = at(lag);
    return look !== null && drop(scanned, look) <= FAR;
  };
  const lastBlock = ground.series.index.at(-1)!;
  const place = lags.indexOf(lastBlock + 1 - scanned.fromBlock);
  let from = place;
  let to = place;
  while (from > 0 && (from === place || isNear(lags[from]!))) from--;
  while (to < lags.length - 1 && (to === place || isNear(lags[to]!))) to++;
  const looks: Look[] = [];
  for (let lag = lags[from]!; lag <= lags[to]!; lag += STEP_BLOCKS) {
    const look = at(lag);
    if (look !== null && Math.sign(look.z) === Math.sign(scanned.z)) looks.push(look);
  }
  return looks;
}

function drop(best: Look, { z }: Look): number {
  return best.z * best.z - z * z;
}

/** Where the fit has become too bad, going along `looks` by `step` from the best one. */
function edge(looks: readonly Look[], best: Look, step: 1 | -1): number {
  let place = looks.indexOf(best);
  for (;;) {
    const here = looks[place]!;
    const next = looks[place + step];
    if (next === undefined) return here.fromBlock - step * STEP_BLOCKS;
    if (drop(best, next) > NEAR) {
      const share = (NEAR - drop(best, here)) / (drop(best, next) - drop(best, here));
      return here.fromBlock + share * (next.fromBlock - here.fromBlock);
    }
    place += step;
  }
}

function profile(
  best: Look,
  near: readonly Look[],
  divisor: (look: Look) => number,
): readonly [number, number] {
  const ends = near.map((look) => {
    const half = Math.sqrt(NEAR - drop(best, look)) * errorOf(look);
    return [(look.sizeDb - half) / divisor(look), (look.sizeDb + half) / divisor(look)] as const;
  });
  return [Math.min(...ends.map(([low]) => low)), Math.max(...ends.map(([, high]) => high))];
}

function errorOf({ errorDb, sizeDb }: Look): number {
  return Math.hypot(errorDb, MISFIT * sizeDb);
}

/** How size and rate scatter together over all onsets, each weighted by its likelihood. */
function spreadOf(best: Look, looks: readonly Look[]): Spread {
  let [total, sizeVariance, rateVariance, covariance] = [0, 0, 0, 0];
  for (const look of looks) {
    const weight = Math.exp(-drop(best, look) / (2 * SPREAD_WIDER ** 2));
    const reach = reachOf(look);
    const sizeOff = look.sizeDb - best.sizeDb;
    const rateOff = look.sizeDb / reach - best.sizeDb / reachOf(best);
    const variance = (SPREAD_WIDER * errorOf(look)) ** 2;
    total += weight;
    sizeVariance += weight * (variance + sizeOff ** 2);
    rateVariance += weight * (variance / reach ** 2 + rateOff ** 2);
    covariance += weight * (variance / reach + sizeOff * rateOff);
  }
  return {
    sizeVariance: sizeVariance / total,
    rateVariance: rateVariance / total,
    covariance: covariance / total,
  };
}
