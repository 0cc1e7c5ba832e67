import type { LimitSetView } from '../../../../api/schemas/limits.ts';
import { KIND_WORD } from '../../../words.ts';
import { limitDemand, limitSubject } from './limitWords.ts';

/** One set: each limit with what breaking it means and where the figure comes from. */
export function LimitSetTable({ set }: { set: LimitSetView }) {
  return (
    <article class="panel" aria-labelledby={`set-${set.id}`}>
      <h2 id={`set-${set.id}`}>{set.name}</h2>
      <p class="quiet">
        {set.source}
        {set.defaultFor.length > 0 &&
          `. Taken, unless somebody chose otherwise, by: ${set.defaultFor.map((kind) => KIND_WORD[kind].toLowerCase()).join(', ')}`}
        .
      </p>
      <ul class="rows limit-rows">
        {set.limits.map((limit) => (
          <li key={`${limit.quantity} ${limit.modulation}`}>
            <span>
              {limitSubject(limit)}: <strong>{limitDemand(limit)}</strong>
            </span>
            <span>
              {limit.effect === 'service' ? 'A viewer is likely to notice' : 'Agreed between the parties'}
            </span>
            <span class="quiet">{limit.source}</span>
          </li>
        ))}
      </ul>
    </article>
  );
}
