import type { CodewordRatio } from './codewords.ts';
import { hzToMhz } from './decode.ts';

const MOST_NAMED = 3;

/**
 * What a person should know about codewords with errors; nothing when there were none that mattered. Shares are told by powers of
 * ten, so that the same trouble gives the same line at each reading.
 */
export function codewordNotes(ratios: Iterable<CodewordRatio>): string[] {
  const bad = [...ratios].filter(({ postFec }) => postFec > 0).sort((a, b) => b.postFec - a.postFec);
  if (bad.length === 0) return [];
  const named = bad
    .slice(0, MOST_NAMED)
    .map(({ frequencyHz, postFec }) => `about 1 in ${powerOfTen(postFec)} on ${hzToMhz(frequencyHz)} MHz`);
  const more = bad.length > MOST_NAMED ? `, and ${bad.length - MOST_NAMED} more` : '';
  return [
    `codewords lost since the reading before, in spite of error correction: ${named.join(', ')}${more} (shown here only; a sweep has no place for it)`,
  ];
}

function powerOfTen(share: number): string {
  return (10 ** Math.max(0, Math.round(-Math.log10(share)))).toLocaleString('en');
}
