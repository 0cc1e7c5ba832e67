import type { BreachView } from '../../../api/schemas/common.ts';
import { formatMhz, formatWithUnit } from '../../format.ts';

/** What lies outside its limits, each with the limit and its source. */
export function BreachList({ breaches, title }: { breaches: readonly BreachView[]; title: string }) {
  return (
    <section class="panel" aria-labelledby="breaches-title">
      <h3 id="breaches-title">
        {title} ({breaches.length})
      </h3>
      <ul class="breaches">
        {breaches.map((breach) => (
          <li key={`${breach.quantity} ${breach.channel} ${breach.limit}`}>
            <span class="abnormal">
              <span aria-hidden="true">◆ </span>
              {breach.quantity}
              {breach.channel !== null && ` of RF ${breach.channel}`}
              {breach.freqMhz !== null && ` (${formatMhz(breach.freqMhz)} MHz)`}:{' '}
              {formatWithUnit(breach.value, breach.unit)}
            </span>
            , where {breach.limit} {breach.unit} is asked.{' '}
            <span class="quiet">
              {breach.effect === 'service' ? 'A viewer is likely to notice.' : 'Agreed between the parties.'}{' '}
              Source: {breach.source}.
            </span>
          </li>
        ))}
      </ul>
    </section>
  );
}
