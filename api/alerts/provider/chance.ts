/**
 * A change at so many sites is one event when less than one such gathering in 200 would come about by chance. Common practice, no
 * source for the figure.
 */
export const CHANCE_AT_MOST = 0.005;

/** Before anything is known of a provider, a site shows a change of one kind by itself once in so many days. Common practice, no source. */
const PRIOR_SITE_DAYS = 180;

/**
 * How often a site shows a change of one kind by itself, a day: what was seen in `siteDays`, together with one in 180 site-days as
 * known beforehand (mean of a gamma distribution after Poisson counts).
 */
export function ratePerSiteDay(seen: number, siteDays: number): number {
  return (1 + seen) / (PRIOR_SITE_DAYS + siteDays);
}

/**
 * Chance that, when one site changes, at least `alike − 1` of the `sites − 1` others change in the same way within `windowDays` of it
 * although they have nothing to do with each other: the tail of a binomial distribution.
 *
 * @param alike sites that changed, that one included
 * @param rate changes of the kind a site and day
 */
export function chanceOfSoMany(alike: number, sites: number, rate: number, windowDays: number): number {
  const others = sites - 1;
  const p = 1 - Math.exp(-rate * windowDays);
  let below = 0;
  let term = (1 - p) ** others;
  for (let k = 0; k < alike - 1; k++) {
    below += term;
    term *= ((others - k) / (k + 1)) * (p / (1 - p));
  }
  return Math.min(1, Math.max(0, 1 - below));
}
