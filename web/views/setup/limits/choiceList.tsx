import type { LimitChoiceView, LimitSetView } from '../../../../api/schemas/limits.ts';
import { formatDay } from '../../../format.ts';
import { KIND_WORD } from '../../../words.ts';
import { changeWords } from './limitWords.ts';

interface ChoiceListProps {
  choices: readonly LimitChoiceView[];
  sets: readonly LimitSetView[];
  timeZone: string;
  nameOfPoint?: (pointId: number) => string;
}

/** Who chose which limits, when and why; newest first, none is ever taken away. */
export function ChoiceList({ choices, sets, timeZone, nameOfPoint }: ChoiceListProps) {
  if (choices.length === 0) return null;
  const nameOf = (choice: LimitChoiceView) =>
    choice.kind !== null
      ? KIND_WORD[choice.kind]
      : (nameOfPoint?.(choice.pointId!) ?? `point ${choice.pointId}`);
  return (
    <ul class="rows">
      {choices.map((choice) => (
        <li key={choice.choiceId}>
          <span>
            <strong>{nameOf(choice)}</strong>:{' '}
            {sets.find((set) => set.id === choice.setId)?.name ?? choice.setId}
          </span>
          {choice.changes.length > 0 && <span>{choice.changes.map(changeWords).join('; ')}.</span>}
          <span>“{choice.reason}”</span>
          <span class="quiet">
            {choice.chosenBy}, {formatDay(choice.chosenAt, timeZone)}
          </span>
        </li>
      ))}
    </ul>
  );
}
