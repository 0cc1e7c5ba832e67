import { useState } from 'preact/hooks';
import type { SheetStop, TaskView } from '../../../api/schemas/visits.ts';
import { formatChange, formatClock, formatMoment, formatWithUnit, zoneName } from '../../format.ts';
import type { WaitingResult } from '../../offline/outbox.ts';
import { Cautions } from '../../parts/cautions.tsx';
import { Link } from '../../parts/link.tsx';
import { useMay } from '../../session.ts';
import { Causes } from '../site/causes.tsx';
import { ResultForm } from './resultForm.tsx';
import { ResultList } from './resultList.tsx';
import { hasDraft } from './useResultDraft.ts';
import { formatMinutes } from './visitWords.ts';
import { WaitingList } from './waitingList.tsx';

interface StopCardProps {
  place: number;
  stop: SheetStop;
  /** The zone that the day is told in. */
  dayZone: string;
  waiting: readonly WaitingResult[];
  onRecorded: () => void;
}

/** One building of the day. */
export function StopCard({ place, stop, dayZone, waiting, onRecorded }: StopCardProps) {
  const { timeZone, arriveAt, leaveAt } = stop;
  return (
    <li class="panel sheet-stop">
      <header>
        <h2>
          {place}. {stop.name}
        </h2>
        <p>
          <strong>
            {formatClock(arriveAt, timeZone)} to {formatClock(leaveAt, timeZone)}{' '}
            {zoneName(arriveAt, timeZone)}
          </strong>
          {zoneName(arriveAt, dayZone) !== zoneName(arriveAt, timeZone) &&
            ` (${formatClock(arriveAt, dayZone)} ${zoneName(arriveAt, dayZone)})`}
          , after about {formatMinutes(stop.driveMinutes)} of driving
        </p>
      </header>
      <Finding stop={stop} />
      {stop.tasks.map((task) => (
        <Task key={task.alertId} task={task} />
      ))}
      {stop.tasks.length === 0 && <p>No alert is left to look into here.</p>}
      <Points stop={stop} />
      <section class="results" aria-label={`Results at ${stop.name}`}>
        {stop.results.length > 0 && <h3>Recorded</h3>}
        <ResultList results={stop.results} />
        <WaitingList waiting={waiting} points={stop.points} />
        <Record stop={stop} onRecorded={onRecorded} />
      </section>
    </li>
  );
}

/** How to find the building and to get in. */
function Finding({ stop }: { stop: SheetStop }) {
  const { address, town, latitude, longitude, contact, accessNotes, siteId } = stop;
  const where = [address, town].filter(Boolean).join(', ');
  return (
    <dl class="sheet-facts">
      <dt>Where</dt>
      <dd>
        {where || 'No address is set up'}{' '}
        {latitude !== null && (
          <a class="no-print" href={`geo:${latitude},${longitude}`}>
            Open in a map
          </a>
        )}{' '}
        <span class="no-print">
          <Link href={`/sites/${siteId}`}>Site page</Link>
        </span>
      </dd>
      <dt>Contact</dt>
      <dd>{contact || 'None set up'}</dd>
      <dt>Access</dt>
      <dd>{accessNotes || 'No notes'}</dd>
    </dl>
  );
}

function Task({ task }: { task: TaskView }) {
  const rest = beyondTitle(task);
  return (
    <article class="task">
      <h3>{task.title}</h3>
      {rest !== '' && <p>{rest}</p>}
      <p class="check-first">
        <strong>{task.side === 'provider' ? 'Prove it and report it:' : 'First:'}</strong> {firstStep(task)}
        {task.hopNote && <span class="quiet"> Between them: {task.hopNote}.</span>}
      </p>
      <Cautions side={task.side ?? 'unsure'} />
      <Causes causes={task.causes} />
    </article>
  );
}

/** What the sentence says beyond its title, with which it often begins. */
function beyondTitle({ title, sentence }: TaskView): string {
  if (!sentence.startsWith(title)) return sentence;
  const rest = sentence.slice(title.length).replace(/^[;,.\s]+/, '');
  return rest.charAt(0).toUpperCase() + rest.slice(1);
}

function firstStep({ hopFrom, hopTo, doFirst }: TaskView): string {
  if (hopTo === null) return doFirst;
  if (hopFrom === null) return `measure at ${hopTo}, where the provider’s feed comes in.`;
  return `measure at ${hopFrom}, then at ${hopTo}; the change lies between the two.`;
}

/** What each point reads now, to hold one's own meter against. */
function Points({ stop }: { stop: SheetStop }) {
  return (
    <details class="sheet-points">
      <summary>Readings at its {stop.points.length} points</summary>
      <ul class="rows">
        {stop.points.map(({ pointId, title, latest }) => (
          <li key={pointId}>
            <strong>{title}</strong>
            <span>
              {latest === null
                ? 'no sweep yet'
                : `level ${formatWithUnit(latest.levelDbmv, 'dBmV')} (${formatChange(latest.levelDevDb)} dB against the baseline), tilt ${formatWithUnit(latest.tiltDb, 'dB')}, MER margin ${formatWithUnit(latest.merMarginDb, 'dB')}`}
            </span>
            {latest && <span class="quiet">{formatMoment(latest.at, stop.timeZone)}</span>}
          </li>
        ))}
      </ul>
    </details>
  );
}

function Record({ stop, onRecorded }: { stop: SheetStop; onRecorded: () => void }) {
  const mayRecord = useMay('technician');
  const [open, setOpen] = useState(() => hasDraft(stop.visitId));
  if (!mayRecord) return null;
  if (!open) {
    return (
      <p class="no-print">
        <button type="button" class="primary" onClick={() => setOpen(true)}>
          Record a result<span class="sr-only"> at {stop.name}</span>
        </button>
      </p>
    );
  }
  return (
    <ResultForm
      stop={stop}
      onClose={() => setOpen(false)}
      onRecorded={() => {
        setOpen(false);
        onRecorded();
      }}
    />
  );
}
