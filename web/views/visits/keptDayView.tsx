import { RequestFailure } from '../../client.ts';
import { keptDay } from '../../offline/keptDays.ts';
import { Failure } from '../../parts/notice.tsx';
import { MeContext } from '../../session.ts';
import { DaySheet } from './daySheet.tsx';

/** A day opened while the server can't say who is there: as this device kept it for the person who opened it last. */
export function KeptDayView({ dayId, error, onRetry }: { dayId: number; error: Error; onRetry: () => void }) {
  const unreachable = error instanceof RequestFailure && error.status === 0;
  const kept = unreachable ? keptDay(dayId) : null;
  if (!kept) {
    return (
      <main class="page" id="main">
        <h1 tabIndex={-1}>Visits of a day</h1>
        <Failure error={error} onRetry={onRetry} />
        {unreachable && <p>This device has not kept this day: open it once while there is a network.</p>}
      </main>
    );
  }
  return (
    <MeContext.Provider value={kept.me}>
      <DaySheet day={kept.day} offlineSince={kept.keptAt} isKept failure={null} onChanged={onRetry} />
    </MeContext.Provider>
  );
}
