import type { SheetStop } from '../../../api/schemas/visits.ts';
import { takeOutOfOutbox, type WaitingResult } from '../../offline/outbox.ts';
import { ConfirmButton } from '../../parts/confirmButton.tsx';
import { OUTCOME_WORD } from './visitWords.ts';

interface WaitingListProps {
  waiting: readonly WaitingResult[];
  points: SheetStop['points'];
}

/** Results that are on this device alone. */
export function WaitingList({ waiting, points }: WaitingListProps) {
  if (waiting.length === 0) return null;
  return (
    <ul class="rows">
      {waiting.map(({ result, refusal }) => (
        <li key={result.resultId}>
          <p>
            <strong>{OUTCOME_WORD[result.outcome]}</strong>,{' '}
            {points.find(({ pointId }) => pointId === result.pointId)?.title}
            <span class="quiet"> – on this device, {refusal === null ? 'not sent yet' : 'refused'}</span>
          </p>
          {[result.found, result.done, result.parts].filter(Boolean).map((text) => (
            <p key={text}>{text}</p>
          ))}
          {refusal !== null && (
            <>
              <p class="field-error">◆ The server did not take it: {refusal}.</p>
              <ConfirmButton
                does="Delete from this device"
                question="It has not reached the server and will be gone."
                onConfirm={() => takeOutOfOutbox(result.resultId)}
              />
            </>
          )}
        </li>
      ))}
    </ul>
  );
}
