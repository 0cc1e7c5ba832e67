import { useState } from 'preact/hooks';
import type { ProbeView } from '../../../../../api/schemas/probes.ts';
import { ConfirmButton } from '../../../../parts/confirmButton.tsx';
import { Link } from '../../../../parts/link.tsx';
import { useMay } from '../../../../session.ts';
import { accessWords, addressOf, dueWords, scheduleWords, successWords } from '../../../probes/probeWords.ts';
import { ReadNow } from '../../../probes/readNow.tsx';
import { StandingMark } from '../../../probes/standingMark.tsx';

interface ProbeSetupLineProps {
  siteId: number;
  probe: ProbeView;
  timeZone: string;
  /** When a reading was asked for that is to be waited for at once. */
  awaited: string | null;
  onRead: () => void;
  onChange: () => void;
  onPause: (enabled: boolean) => void;
  onRemove: () => void;
}

export function ProbeSetupLine(props: ProbeSetupLineProps) {
  const { siteId, probe, timeZone, awaited, onRead, onChange, onPause, onRemove } = props;
  const manager = useMay('manager');
  // What came of a reading says it better than what is kept of the last one.
  const [isAnswered, setAnswered] = useState(false);
  const onOver = () => {
    setAnswered(true);
    onRead();
  };
  const { name, schedule, enabled, lastError } = probe;
  return (
    <li>
      <p>
        <StandingMark standing={probe.standing} />{' '}
        <Link href={`/sites/${siteId}/probes/${probe.probeId}`} class="row-link">
          {name}
        </Link>
      </p>
      <span class="quiet">
        reads {probe.point} · <span class="mono address">{addressOf(probe)}</span> · {accessWords(probe)} ·{' '}
        {scheduleWords(schedule)} ({timeZone}){nextWords(probe)} · {readWords(probe)}
      </span>
      {lastError !== null && !isAnswered && (
        <p>
          {lastError.message}. <span class="probe-do">What to do: {lastError.action}.</span>
        </p>
      )}
      <div class="actions">
        <ReadNow siteId={siteId} probeId={probe.probeId} name={name} awaited={awaited} onOver={onOver} />
        {manager && (
          <>
            <button type="button" class="small" aria-label={`Change ${name}`} onClick={onChange}>
              Change
            </button>
            <button
              type="button"
              class="small"
              aria-label={`${enabled ? 'Pause' : 'Resume'} ${name}`}
              onClick={() => onPause(!enabled)}
            >
              {enabled ? 'Pause' : 'Resume'}
            </button>
            <ConfirmButton
              does="Remove"
              question={`Remove ${name} and the record of its readings? Its sweeps stay.`}
              onConfirm={onRemove}
            />
          </>
        )}
      </div>
    </li>
  );
}

function nextWords({ underWay, dueAt }: ProbeView): string {
  if (underWay) return ' · under way';
  return dueAt === null ? '' : ` · next ${dueWords(dueAt, Date.now())}`;
}

function readWords({ runs, failed }: ProbeView): string {
  const words = successWords(runs, failed);
  return runs === 0 ? words : `${words} ${runs === 1 ? 'reading' : 'readings'} came in, 30 days`;
}
