import type { Finding } from '../../trend/types.ts';
import { adviceOn } from './advice.ts';
import { CAUSE_IDS, type CauseId, type CausePlace, type ProbableCause } from './cause.ts';
import { cautionsFor } from './cautionsFor.ts';
import { evidenceFor } from './evidenceFor.ts';
import { type HopContents, hopContents } from './hopContents.ts';
import { likelihood } from './likelihood.ts';
import { rateOf } from './rates.ts';
import { signsOf } from './signs.ts';

/** Causes less likely than this aren't named; "not sure" takes their part. */
const NAMED_FROM = 0.05;

/**
 * Why a finding may have come about, most likely first, "not sure" among them: by Bayes' rule from how often each cause
 * is behind a change in such a hop (`rates.ts`) and how it shows (`signTable.ts`). Confidences add up to 1 at most.
 */
export function causesOf(finding: Finding, place: CausePlace): readonly ProbableCause[] {
  const hop = hopContents(place.hopNote);
  const named = confidences(finding, place, hop).filter(
    ([cause, confidence]) => cause !== 'not-sure' && confidence >= NAMED_FROM,
  );
  const rest = Math.max(0, 1 - named.reduce((sum, [, confidence]) => sum + confidence, 0));
  if (rest >= NAMED_FROM) named.push(['not-sure', hundredths(rest)]);

  return named
    .toSorted(([, a], [, b]) => b - a)
    .map(([cause, confidence]) => ({
      cause,
      confidence,
      ...adviceOn(cause, place),
      evidence: evidenceFor(cause, finding, hop, place),
      cautions: cautionsFor(cause, hop, place),
    }));
}

function confidences(finding: Finding, place: CausePlace, hop: HopContents): [CauseId, number][] {
  const signs = signsOf(finding);
  const weights = CAUSE_IDS.map(
    (cause) => rateOf(cause, hop, place) * likelihood(cause, signs, finding, place),
  );
  const sum = weights.reduce((total, weight) => total + weight, 0);
  return CAUSE_IDS.map((cause, index) => [cause, hundredths(weights[index]! / sum)]);
}

/** Rounded down, so that a sum of them doesn't pass 1. */
function hundredths(confidence: number): number {
  return Math.floor(confidence * 100 + 1e-9) / 100;
}
