import type { BreachView } from '../../../api/schemas/common.ts';
import { formatNumber } from '../../format.ts';
import { QUANTITY_WORD } from '../../words.ts';
import { type BreachGroup, groupBreaches } from './groupBreaches.ts';

/** What lies outside its limits, limit by limit, each with its source. */
export function BreachList({ breaches, title }: { breaches: readonly BreachView[]; title: string }) {
  return (
    <section class="panel" aria-labelledby="breaches-title">
      <h3 id="breaches-title">
        {title} ({breaches.length})
      </h3>
      <BreachLines breaches={breaches} />
    </section>
  );
}

/** The same without a frame of its own. */
export function BreachLines({ breaches }: { breaches: readonly BreachView[] }) {
  return (
    <ul class="breaches">
      {groupBreaches(breaches).map((group) => (
        <Breach key={`${group.first.quantity} ${group.first.limit} ${group.first.source}`} group={group} />
      ))}
    </ul>
  );
}

function Breach({ group }: { group: BreachGroup }) {
  const { first, channels, lowest, highest } = group;
  const range =
    lowest === highest ? formatNumber(lowest) : `${formatNumber(lowest)} to ${formatNumber(highest)}`;
  return (
    <li>
      <span class="abnormal">
        <span aria-hidden="true">◆ </span>
        {QUANTITY_WORD[first.quantity]}: {range} {first.unit}
      </span>
      , where {first.limit} is asked{channels.length > 0 && `, at RF ${channels.join(', ')}`}.{' '}
      <span class="quiet">
        {first.effect === 'service' ? 'A viewer is likely to notice.' : 'Agreed between the parties.'} Source:{' '}
        {first.source}.
      </span>
    </li>
  );
}
