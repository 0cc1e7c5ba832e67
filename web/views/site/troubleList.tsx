import type { TroubleView } from '../../../api/schemas/silence.ts';
import type { SiteView } from '../../../api/schemas/site.ts';
import { formatMoment } from '../../format.ts';
import { TROUBLE_WORD } from '../../words.ts';

/** What is wrong with the coming of sweeps, and what to do about it first. */
export function TroubleList({ view }: { view: SiteView }) {
  if (view.troubles.length === 0) return null;
  return (
    <ul>
      {view.troubles.map((trouble) => (
        <Trouble
          key={`${trouble.kind} ${trouble.pointIds.join()}`}
          trouble={trouble}
          timeZone={view.site.timeZone}
        />
      ))}
    </ul>
  );
}

function Trouble({ trouble, timeZone }: { trouble: TroubleView; timeZone: string }) {
  return (
    <li class="finding">
      <p>
        <strong class={trouble.kind === 'late' ? undefined : 'finding-kind'}>
          {TROUBLE_WORD[trouble.kind]}.
        </strong>{' '}
        {trouble.sentence}
      </p>
      <dl class="finding-facts">
        <dt>Since</dt>
        <dd>{formatMoment(trouble.since, timeZone)}</dd>
        <dt>Do first</dt>
        <dd>{trouble.doFirst}</dd>
      </dl>
    </li>
  );
}
