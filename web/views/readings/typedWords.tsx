import type { LevelUnit, TypedVerdictWord } from '../../../api/schemas/typedReadings.ts';

export const UNITS: readonly LevelUnit[] = ['dBmV', 'dBuV', 'dBm'];
export const UNIT_WORD: Readonly<Record<LevelUnit, string>> = { dBmV: 'dBmV', dBuV: 'dBµV', dBm: 'dBm' };

const WORD: Readonly<Record<TypedVerdictWord, string>> = {
  good: 'Good',
  changed: 'Changed',
  outside: 'Outside',
  unknown: 'Not yet',
};
const SHAPE: Readonly<Record<TypedVerdictWord, string>> = {
  good: '○',
  changed: '△',
  outside: '◆',
  unknown: '·',
};

/** What figures say, as a shape and a word. */
export function TypedMark({ verdict }: { verdict: TypedVerdictWord }) {
  return (
    <span class={`typed-mark typed-${verdict}`}>
      <span aria-hidden="true">{SHAPE[verdict]} </span>
      {WORD[verdict]}
    </span>
  );
}
