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
 * The contrasts of a site, one for each point that can be read.
 *
 * @param readable points with enough history
 * @param passes gear that corrects itself lets the change through: true of MER, not of level
 */
export function contrastsOf(
  site: readonly SitePoint[],
  readable: ReadonlySet<number>,
  passes: boolean,
): Contrast[] {
  return site
    .filter(({ pointId }) => readable.has(pointId))
    .map(({ pointId }) => {
      const root = passes ? null : stretchRoot(site, pointId);
      const stretch = site.filter((point) => root === null || stretchRoot(site, point.pointId) === root);
      const below = subtree(stretch, pointId);
      const members = stretch.map((point) => point.pointId).filter((id) => readable.has(id));
      return {
        hopTo: pointId,
        plus: members.filter((id) => below.has(id)),
        minus: members.filter((id) => !below.has(id)),
      };
    });
}
