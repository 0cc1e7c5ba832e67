/**
 * Every number that the risk formula assumes, in one place. All are common practice with no source; they set
 * how sites rank against each other, and each is explained beside the figure it makes.
 */
export const ASSUMPTIONS = {
  /** How far ahead service is looked at, days. */
  horizonDays: 14,
  /** Uncertainty of a margin at the moment of its sweep, dB (one standard deviation). */
  readingSdDb: 0.4,
  /** How far a healthy margin wanders by itself in a day, dB per square root of a day. */
  wanderDbPerRootDay: 0.15,
  /** What an outlet without a reading of its own had to spare when the baseline of its point was accepted, dB. */
  outletSpareDb: 8,
  /** Service at an outlet counts as wholly unacceptable once this share of its channels is outside. */
  wholeServiceShare: 0.2,
  /** Probability that a point which has been silent for very long has lost its signal. */
  silenceCeiling: 0.2,
  /** Time by which that probability has come 63 % of the way, days past the next sweep's due time. */
  silenceTimeDays: 2,
  /** Chance of unacceptable service on any day at outlets that no baseline speaks for. */
  noBaselineDaily: 0.01,
  /** Chance of unacceptable service on the last day of the horizon that calls for action now. */
  actProbability: 0.25,
  /** Expected outlet-days from which a site without a finding is watched all the same. */
  watchOutletDays: 1,
} as const;
