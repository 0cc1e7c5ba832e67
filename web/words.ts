import type { Verdict } from '../api/schemas/common.ts';

export { KIND_WORD, MODULATION_WORD, QUANTITY_WORD, SIDE_WORD } from '../api/tradeWords.ts';

/** Verdicts from most to least pressing, as filters show them. */
export const VERDICTS: readonly Verdict[] = ['act', 'watch', 'silent', 'no-baseline', 'steady'];

export const VERDICT_WORD: Readonly<Record<Verdict, string>> = {
  act: 'Act',
  watch: 'Watch',
  silent: 'Silent',
  'no-baseline': 'No baseline',
  steady: 'Steady',
};

/** What findings are called on screen; an unknown kind keeps its own name. */
export function findingWord(kind: string, metric: string): string {
  if (kind === 'step') return `${METRIC_WORD[metric] ?? metric} step`;
  if (kind === 'drift') return `${METRIC_WORD[metric] ?? metric} drift`;
  if (kind === 'channel-lost') return 'Channel lost';
  const words = kind.replaceAll('-', ' ');
  return words.charAt(0).toUpperCase() + words.slice(1);
}

const METRIC_WORD: Readonly<Record<string, string>> = {
  level: 'Level',
  tilt: 'Tilt',
  flatness: 'Flatness',
  mer: 'MER',
};
