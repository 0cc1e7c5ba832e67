import type { SeverityWord } from '../../api/schemas/alerts.ts';
import { SEVERITY_WORD } from '../words.ts';

/** Steps of a stair that are filled; an indeterminate one shows its outline only. */
const FILLED: Readonly<Record<SeverityWord, number>> = {
  critical: 4,
  major: 3,
  minor: 2,
  warning: 1,
  indeterminate: 0,
};

/** The severity as a stair and a word, so that colour is never the only sign. */
export function SeverityMark({ severity }: { severity: SeverityWord }) {
  return (
    <span class={`severity severity-${severity}`}>
      <svg viewBox="0 0 23 14" width="23" height="14" aria-hidden="true">
        {[0, 1, 2, 3].map((step) => (
          <rect
            key={step}
            class={step < FILLED[severity] ? 'is-filled' : ''}
            x={0.5 + 6 * step}
            y={10 - 3 * step}
            width="4"
            height={3.5 + 3 * step}
          />
        ))}
      </svg>
      {SEVERITY_WORD[severity]}
    </span>
  );
}
