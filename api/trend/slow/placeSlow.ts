import { areRelated } from '../eventState.ts';
import type { SiteTrend } from '../state.ts';
import { FEATURES, type SitePoint } from '../types.ts';
import { lookFrom } from './looks.ts';
import { type Onset, refineOnset } from './onset.ts';
import type { Sighting } from './scan.ts';

/** Hops that come so near the best one, in z, are held against it once more with their onsets refined. */
const NEAR_SHARE = 0.5;

/** A sighting with its onset found within a block. */
export type Refined = Sighting & { readonly onset: Onset };

/** Sightings of a change like `sighting` at `hopTo` and at hops above and below it, as far as they come near it. */
export function nearOf(
  site: readonly SitePoint[],
  { best }: Sighting,
  hopTo: number,
  sightings: readonly Sighting[],
): Sighting[] {
  return sightings.filter(
    ({ best: { shape, sizeDb, z }, contrast }) =>
      (shape === 'mer') === (best.shape === 'mer') &&
      Math.sign(sizeDb) === Math.sign(best.sizeDb) &&
      (contrast.hopTo === hopTo || areRelated(site, contrast.hopTo, hopTo)) &&
      Math.abs(z) >= NEAR_SHARE * Math.abs(best.z),
  );
}

/**
 * Sightings with the z of the onset that fits each best, likeliest first. A scan tries onsets far apart, and of a change that is clear
 * what lies between two of them passes for noise: it is the same share of the change at every hop that shows any of it, and so hides
 * where the change began.
 */
export function atBestOnset(trend: SiteTrend, sightings: readonly Sighting[]): Refined[] {
  const refined = likeliestFirst(
    sightings.map((sighting) => {
      const onset = onsetOf(trend, sighting);
      return { ...sighting, best: { ...sighting.best, z: onset.best.z }, onset };
    }),
  );
  const [best, ...others] = refined;
  return best === undefined
    ? []
    : likeliestFirst([best, ...others.map((other) => asNoisyAs(trend, best, other))]);
}

function likeliestFirst<S extends Sighting>(sightings: readonly S[]): S[] {
  return [...sightings].sort((a, b) => Math.abs(b.best.z) - Math.abs(a.best.z));
}

/**
 * A sighting with the z that it has when each point's own noise is what the best sighting shows it to be. Hops that are held against the
 * same points then differ by how well they explain what all of these show, and not by the chance that made one contrast look quieter.
 * Level keeps its noise: there a contrast across a hop and one that takes in every point are of different stuff.
 */
function asNoisyAs(trend: SiteTrend, best: Refined, other: Refined): Refined {
  if (best.contrast.members.join() !== other.contrast.members.join()) return other;
  const noise = { ...other.onset.noise };
  for (const feature of FEATURES) {
    if (feature === 'level') continue;
    const ownVariance = best.onset.noise[feature].longRunVariance * best.contrast.worth[feature];
    noise[feature] = { ...noise[feature], longRunVariance: ownVariance / other.contrast.worth[feature] };
  }
  const { series } = other.ground;
  const lag = series.index.at(-1)! + 1 - other.onset.best.fromBlock;
  const { shapes } = trend.points[other.contrast.hopTo]!;
  const look = lookFrom({ ...other.ground, noise }, shapes!, other.onset.best, lag);
  return look === null ? other : { ...other, best: { ...other.best, z: look.z } };
}

function onsetOf(trend: SiteTrend, { best, ground, contrast }: Sighting): Onset {
  return refineOnset(ground, trend.points[contrast.hopTo]!.shapes!, best);
}

/** Sightings of the same kind at other hops that fit worse by less than `margin` of χ². */
export function rivalsOf(
  { best, contrast }: Sighting,
  sightings: readonly Sighting[],
  margin: number,
): Sighting[] {
  return sightings.filter(
    (other) =>
      other.contrast.hopTo !== contrast.hopTo &&
      (other.best.shape === 'mer') === (best.shape === 'mer') &&
      best.z * best.z - other.best.z * other.best.z < margin,
  );
}
