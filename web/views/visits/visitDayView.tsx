import { useContext, useEffect, useState } from 'preact/hooks';
import type { VisitDay } from '../../../api/schemas/visits.ts';
import { RequestFailure } from '../../client.ts';
import { keepDay, keptDay } from '../../offline/keptDays.ts';
import { startOfflineWorker } from '../../offline/startOfflineWorker.ts';
import { Failure, Waiting } from '../../parts/notice.tsx';
import { paths } from '../../paths.ts';
import { MeContext } from '../../session.ts';
import { useLoad } from '../../useLoad.ts';
import { DaySheet } from './daySheet.tsx';

/** A day of visits, from the server while there is a network and from this device otherwise. */
export function VisitDayView({ dayId }: { dayId: number }) {
  const me = useContext(MeContext);
  const { data, error, reload } = useLoad<VisitDay>(paths.visitDay(dayId));
  const [isKept, setKept] = useState<boolean | null>(null);
  const unreachable = error instanceof RequestFailure && error.status === 0;
  const kept = unreachable ? keptDay(dayId) : null;
  const day = data ?? kept?.day ?? null;

  useEffect(() => {
    if (!data || !me) return;
    const stored = keepDay(me, data);
    void startOfflineWorker().then((started) => setKept(stored && started));
  }, [data, me]);

  if (!day) {
    return (
      <main class="page" id="main">
        <h1 tabIndex={-1}>Visits of a day</h1>
        {error ? <Failure error={error} onRetry={reload} /> : <Waiting what="the day" />}
      </main>
    );
  }
  const keptAt = unreachable ? (kept?.keptAt ?? day.preparedAt) : null;
  return (
    <DaySheet
      day={day}
      offlineSince={keptAt}
      isKept={isKept}
      failure={unreachable ? null : error}
      onChanged={reload}
    />
  );
}
