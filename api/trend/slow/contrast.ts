import { stretchRoot, subtree } from '../tree.ts';
import type { SitePoint } from '../types.ts';

/**
 * How a change that begins in the hop ending at `hopTo` shows: the mean of the points that it reaches less the mean of those
 * that share everything else with them. What the feed, the weather and a common wander do to all of them cancels.
 */
export interface Contrast {
  readonly hopTo: number;
  readonly plus: readonly number[];
  /** Empty at the root of a stretch: nothing is left to compare with. */
  readonly minus: readonly number[];
}

/**
 * The contrasts of level, one for each point that can be read: points share what the feed and the weather do as far as no gear that
 * corrects itself lies between them.
 *
 * @param readable points with enough history
 */
export function levelContrasts(site: readonly SitePoint[], readable: ReadonlySet<number>): Contrast[] {
  return readableIn(site, readable).map((pointId) => {
    const root = stretchRoot(site, pointId);
    const stretch = site.filter((point) => stretchRoot(site, point.pointId) === root);
    const below = subtree(stretch, pointId);
    const members = readableIn(stretch, readable);
    return {
      hopTo: pointId,
      plus: members.filter((id) => below.has(id)),
      minus: members.filter((id) => !below.has(id)),
    };
  });
}

/** The contrasts of MER: nothing is shared that would cancel, so each is the mean of the points that noise in the hop would reach. */
export function merContrasts(site: readonly SitePoint[], readable: ReadonlySet<number>): Contrast[] {
  return readableIn(site, readable).map((pointId) => {
    const below = subtree(site, pointId);
    return { hopTo: pointId, plus: readableIn(site, readable).filter((id) => below.has(id)), minus: [] };
  });
}

function readableIn(site: readonly SitePoint[], readable: ReadonlySet<number>): number[] {
  return site.map(({ pointId }) => pointId).filter((id) => readable.has(id));
}
