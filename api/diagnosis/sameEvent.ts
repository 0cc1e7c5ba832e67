import type { Finding } from '../trend/types.ts';
import type { TreePoint } from './tree.ts';

/** Two onsets this far apart, beyond their own intervals, still count as one moment. Common practice, no source. */
export const ONSET_SLACK_MS = 6 * 3_600_000;
/** Sizes that differ by less are the same size whatever their ratio. Common practice, no source. */
export const SIZE_SLACK_DB = 0.7;
/** Beyond the slack, one size may be this many times the other. Common practice, no source. */
export const SIZE_RATIO = 1.6;

/**
 * Whether what `upper` says about a point accounts for what `lower` says about a point that it feeds:
 * about the same onset, and the same metric and sign with comparable size. Noise adds up along a cascade, so
 * the same fault upstream moves MER by less further down: a smaller MER loss is explained too. Behind gear
 * that corrects itself only what exceeds its window comes through, and a falling input costs MER there.
 */
export function accountsFor(upper: Finding, lower: Finding, lowerPoint: TreePoint): boolean {
  if (upper.kind === 'instrument-change' || !onsetsMeet(upper, lower)) return false;
  if (upper.kind === 'outage') return true;
  if (lower.metric === 'channels' || upper.metric === 'channels') return sameChannels(upper, lower);

  const hidden = lowerPoint.correctsItself ? lowerPoint.correctionWindowDb : null;
  if (hidden !== null && (lower.metric === 'level' || lower.metric === 'tilt')) {
    return sameDirection(upper, lower) && Math.abs(upper.sizeDb) > hidden && notLarger(lower, upper);
  }
  if (lowerPoint.correctsItself && lower.metric === 'mer' && upper.metric === 'level') {
    return lower.sizeDb < 0 && upper.sizeDb < 0;
  }
  if (!sameDirection(upper, lower)) return false;
  return lower.metric === 'mer' ? notLarger(lower, upper) : comparable(upper.sizeDb, lower.sizeDb);
}

function onsetsMeet(a: Finding, b: Finding): boolean {
  return a.onsetLowMs - ONSET_SLACK_MS <= b.onsetHighMs && b.onsetLowMs - ONSET_SLACK_MS <= a.onsetHighMs;
}

function sameDirection(a: Finding, b: Finding): boolean {
  return a.metric === b.metric && Math.sign(a.sizeDb) === Math.sign(b.sizeDb);
}

function notLarger(a: Finding, than: Finding): boolean {
  return Math.abs(a.sizeDb) <= Math.abs(than.sizeDb) * SIZE_RATIO + SIZE_SLACK_DB;
}

function comparable(aDb: number, bDb: number): boolean {
  const [small, large] = [Math.abs(aDb), Math.abs(bDb)].sort((a, b) => a - b) as [number, number];
  return large - small <= SIZE_SLACK_DB || large <= small * SIZE_RATIO;
}

/** Lost channels are explained when every one of them is lost upstream as well. */
function sameChannels(upper: Finding, lower: Finding): boolean {
  if (upper.metric !== 'channels' || lower.metric !== 'channels') return false;
  const above = new Set(channelsOf(upper));
  const here = channelsOf(lower);
  return here.length > 0 && here.every((channel) => above.has(channel));
}

/** RF channels that a finding names in its evidence. */
export function channelsOf(finding: Finding): string[] {
  const named = finding.evidence['channels'] ?? finding.evidence['channel'];
  if (typeof named === 'string') return [named];
  return Array.isArray(named) ? named.filter((name) => typeof name === 'string') : [];
}
