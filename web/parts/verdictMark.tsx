import type { Verdict } from '../../api/schemas/common.ts';
import { VERDICT_WORD } from '../words.ts';

/** A level trace in small: flat, sagging, fallen, broken off, or not yet drawn. */
const TRACE: Readonly<Record<Verdict, string>> = {
  steady: 'M2 6H22',
  watch: 'M2 4H9L15 8H22',
  act: 'M2 2H8L14 10H17',
  silent: 'M2 6H10',
  'no-baseline': '',
};
const DOTS: Readonly<Partial<Record<Verdict, readonly number[]>>> = {
  silent: [14, 18, 22],
  'no-baseline': [2, 7, 12, 17, 22],
};

/** The verdict as a shape and a word, so that colour is never the only sign. */
export function VerdictMark({ verdict, word = true }: { verdict: Verdict; word?: boolean }) {
  return (
    <span class={`verdict verdict-${verdict}`}>
      <svg viewBox="0 0 24 12" width="24" height="12" aria-hidden="true">
        <path d={TRACE[verdict]} />
        {DOTS[verdict]?.map((x) => (
          <circle key={x} cx={x} cy="6" r="1.4" />
        ))}
        {verdict === 'act' && <rect x="16" y="6" width="7" height="6" />}
      </svg>
      {word ? VERDICT_WORD[verdict] : <span class="sr-only">{VERDICT_WORD[verdict]}</span>}
    </span>
  );
}
