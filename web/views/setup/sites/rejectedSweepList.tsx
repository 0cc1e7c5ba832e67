import type { RejectedSweeps } from '../../../../api/schemas/siteKeys.ts';
import { formatMoment, plural } from '../../../format.ts';
import { Failure } from '../../../parts/notice.tsx';
import { paths } from '../../../paths.ts';
import { useLoad } from '../../../useLoad.ts';

const SHOWN = 50;

/** Sweeps that came in and were refused, with what was wrong in each. */
export function RejectedSweepList({
  siteId,
  timeZone,
  everyMs,
}: {
  siteId: number;
  timeZone: string;
  /** Looks again so often; once without it. */
  everyMs?: number;
}) {
  const { data, error, reload } = useLoad<RejectedSweeps>(paths.rejected(siteId), everyMs);
  if (error) return <Failure error={error} onRetry={reload} />;
  if (!data || data.rejected.length === 0) return null;
  return (
    <section class="panel" aria-labelledby="rejected-title">
      <h2 id="rejected-title">Refused sweeps</h2>
      <p class="quiet">Each was refused for its own reason; its neighbours were kept.</p>
      <ul class="rows">
        {data.rejected.slice(0, SHOWN).map((sweep, i) => (
          <li key={`${sweep.receivedAt} ${i}`}>
            <span>
              <span class="mono">{sweep.path || 'whole sweep'}</span>: {sweep.reason}
            </span>
            <span class="quiet">
              point {sweep.point ?? 'not named'}, received {formatMoment(sweep.receivedAt, timeZone)}
            </span>
          </li>
        ))}
      </ul>
      {data.rejected.length > SHOWN && (
        <p class="quiet">and {plural(data.rejected.length - SHOWN, 'more', 'more')}</p>
      )}
    </section>
  );
}
