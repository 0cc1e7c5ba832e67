/** A passive and the loss that it adds to a line, dB. */
interface PassiveLoss {
  readonly what: string;
  readonly lowDb: number;
  readonly highDb: number;
  /** How often it is this one that was added, taken out or exchanged. */
  readonly share: number;
}

/** Insertion losses and shares: common practice, no source. */
export const PASSIVE_LOSSES: readonly PassiveLoss[] = [
  { what: 'a two-way splitter', lowDb: 3.3, highDb: 4, share: 0.35 },
  { what: 'a three-way splitter', lowDb: 5.5, highDb: 6, share: 0.1 },
  { what: 'a four-way splitter', lowDb: 6.8, highDb: 7.5, share: 0.2 },
  { what: 'an eight-way splitter', lowDb: 10.3, highDb: 11.5, share: 0.1 },
  { what: 'the line past a tap', lowDb: 0.4, highDb: 2.4, share: 0.15 },
];
/** Pads and exchanges of one passive for another: any size up to this. */
const ANY_SHARE = 0.1;
const ANY_UP_TO_DB = 12;
/** Other causes make steps of any size, small ones more often: an exponential with this mean. */
const OTHER_MEAN_DB = 5;
/** Passives scatter about their data sheet. */
const SCATTER_DB = 0.2;
const SD_OF_80_PERCENT = 1.2816;

/** The splitter or tap whose loss `stepDb` matches within its error; null when there is none. */
export function matchingPassive(stepDb: number, errorDb: number): PassiveLoss | null {
  const size = Math.abs(stepDb);
  const slackDb = SCATTER_DB + errorDb;
  const matches = PASSIVE_LOSSES.filter(
    ({ lowDb, highDb }) => size >= lowDb - slackDb && size <= highDb + slackDb,
  );
  return matches.toSorted((a, b) => outsideDb(a, size) - outsideDb(b, size))[0] ?? null;
}

/** How much better a changed passive explains a step of this size than a cause that can make any size. */
export function passiveSizeRatio(stepDb: number, errorDb: number): number {
  const size = Math.abs(stepDb);
  const sdDb = Math.hypot(SCATTER_DB, errorDb);
  const known = PASSIVE_LOSSES.reduce((sum, each) => sum + each.share * blurredUniform(size, each, sdDb), 0);
  const passive = known + (size <= ANY_UP_TO_DB ? ANY_SHARE / ANY_UP_TO_DB : 0);
  const other = Math.exp(-size / OTHER_MEAN_DB) / OTHER_MEAN_DB;
  return Math.min(5, Math.max(0.2, passive / other));
}

/** Standard deviation behind an 80 % interval. */
export function sdOf(lowDb: number, highDb: number): number {
  return Math.abs(highDb - lowDb) / (2 * SD_OF_80_PERCENT);
}

/** Density at `x` of a value spread evenly over the band and measured with an error, by the logistic curve for the normal's. */
function blurredUniform(x: number, { lowDb, highDb }: PassiveLoss, sdDb: number): number {
  const below = (edge: number) => 1 / (1 + Math.exp((-1.702 * (edge - x)) / sdDb));
  return (below(highDb) - below(lowDb)) / (highDb - lowDb);
}

function outsideDb({ lowDb, highDb }: PassiveLoss, size: number): number {
  return Math.abs(size - (lowDb + highDb) / 2);
}
