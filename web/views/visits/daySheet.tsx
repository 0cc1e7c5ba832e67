import { useContext } from 'preact/hooks';
import type { VisitDay } from '../../../api/schemas/visits.ts';
import { del } from '../../client.ts';
import { formatClock, formatDay, formatMoment, plural, zoneName } from '../../format.ts';
import { useNetworkBack } from '../../offline/useNetworkBack.ts';
import { useOutbox } from '../../offline/useOutbox.ts';
import { ConfirmButton } from '../../parts/confirmButton.tsx';
import { Link } from '../../parts/link.tsx';
import { Failure } from '../../parts/notice.tsx';
import { paths } from '../../paths.ts';
import { MeContext, useMay } from '../../session.ts';
import { useSubmit } from '../../useSubmit.ts';
import { useTitle } from '../../useTitle.ts';
import { bringAlong } from './bringAlong.ts';
import { StopCard } from './stopCard.tsx';
import { formatMinutes } from './visitWords.ts';

interface DaySheetProps {
  day: VisitDay;
  /** When this device kept what is shown, where the server can't be reached; null otherwise. */
  offlineSince: string | null;
  /** Whether this device opens the day without a network; null while that isn't known. */
  isKept: boolean | null;
  failure: Error | null;
  onChanged: () => void;
}

/** What to bring, where to go in which order, what to check there, and what was done. */
export function DaySheet({ day, offlineSince, isKept, failure, onChanged }: DaySheetProps) {
  const me = useContext(MeContext);
  const mayRecord = useMay('technician');
  const { waiting, send } = useOutbox(me?.email ?? '', onChanged);
  useNetworkBack(offlineSince !== null, onChanged);
  const { technician, timeZone, fromAt, toAt, startName, stops } = day;
  useTitle(`Visits on ${formatDay(fromAt, timeZone)}, ${technician}`);
  return (
    <main class="page day-sheet" id="main">
      <header class="page-head">
        <nav class="crumbs no-print" aria-label="You are here">
          <Link href="/visits">Visits</Link> <span aria-hidden="true">/</span> {formatDay(fromAt, timeZone)}
        </nav>
        <h1 tabIndex={-1}>
          Visits on {formatDay(fromAt, timeZone)}, {technician}
        </h1>
        <p>
          {plural(stops.length, 'building')}, {formatClock(fromAt, timeZone)} to {formatClock(toAt, timeZone)}{' '}
          {zoneName(fromAt, timeZone)}
          {startName && `, from ${startName}`}. The drive back takes about {formatMinutes(day.backMinutes)}.
        </p>
        {day.cancelledBy && <p class="abnormal">◆ Cancelled by {day.cancelledBy}.</p>}
        <Network {...{ offlineSince, isKept, timeZone }} waiting={waiting.length} onRetry={onChanged} />
        {failure && <Failure error={failure} onRetry={onChanged} />}
        <div class="actions no-print">
          <button type="button" onClick={() => print()}>
            Print
          </button>
          {waiting.length > 0 && (
            <button type="button" onClick={send}>
              Send now
            </button>
          )}
          {mayRecord && !offlineSince && !day.cancelledBy && <Cancel dayId={day.dayId} onDone={onChanged} />}
        </div>
      </header>
      <Bring day={day} />
      <ol class="sheet-stops">
        {stops.map((stop, i) => (
          <StopCard
            key={stop.visitId}
            place={i + 1}
            stop={stop}
            dayZone={timeZone}
            waiting={waiting.filter(({ result }) => result.visitId === stop.visitId)}
            onRecorded={send}
          />
        ))}
      </ol>
    </main>
  );
}

interface NetworkProps {
  offlineSince: string | null;
  isKept: boolean | null;
  timeZone: string;
  waiting: number;
  onRetry: () => void;
}

/** Whether one may walk into a cellar with this page. */
function Network({ offlineSince, isKept, timeZone, waiting, onRetry }: NetworkProps) {
  return (
    <div class="network no-print" role="status">
      {offlineSince && (
        <p>
          <strong>No network.</strong> Shown as kept on this device, {formatMoment(offlineSince, timeZone)}.
          What you record is kept and sent later.{' '}
          <button type="button" class="small" onClick={onRetry}>
            Try again
          </button>
        </p>
      )}
      {!offlineSince && isKept === false && (
        <p>
          <strong>This page needs the network:</strong> this device can’t keep it. Browsers keep pages over
          https only, and not in private browsing. Results you record are kept all the same.
        </p>
      )}
      {!offlineSince && isKept && (
        <p class="quiet">
          Kept on this device: this page opens without a network, and keeps what you record.
        </p>
      )}
      {waiting > 0 && (
        <p>
          <strong>
            {plural(waiting, 'result')} {waiting === 1 ? 'waits' : 'wait'} on this device to be sent.
          </strong>
        </p>
      )}
    </div>
  );
}

function Cancel({ dayId, onDone }: { dayId: number; onDone: () => void }) {
  const { run, busy, error } = useSubmit();
  return (
    <>
      <ConfirmButton
        does="Cancel this day"
        question="Its buildings are offered for other days again."
        disabled={busy}
        onConfirm={() => run(() => del(paths.visitDay(dayId)).then(onDone))}
      />
      {error && <Failure error={error} />}
    </>
  );
}

function Bring({ day }: { day: VisitDay }) {
  const items = bringAlong(day.stops);
  if (items.length === 0) return null;
  return (
    <section class="panel" aria-labelledby="bring-title">
      <h2 id="bring-title">Bring</h2>
      <ul class="bring">
        {items.map(({ item, sites }) => (
          <li key={item}>
            {item} <span class="quiet">{sites.join(', ')}</span>
          </li>
        ))}
      </ul>
    </section>
  );
}
