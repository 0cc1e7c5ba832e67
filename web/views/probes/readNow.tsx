import { Failure } from '../../parts/notice.tsx';
import { useMay } from '../../session.ts';
import { type Reading, useReading } from './useReading.ts';

interface ReadNowProps {
  siteId: number;
  probeId: number;
  /** Of whom the button speaks, for those who hear it. */
  name: string;
  /** When a reading was asked for that is to be waited for at once. */
  awaited?: string | null;
  onOver: () => void;
}

/** Has a probe read now, and says in plain words what came of it. */
export function ReadNow({ siteId, probeId, name, awaited = null, onOver }: ReadNowProps) {
  const may = useMay('technician');
  const { reading, ask } = useReading(siteId, probeId, awaited, onOver);
  if (!may) return null;
  const label = reading.state === 'waiting' ? 'Reading…' : 'Read now';
  return (
    <div class="read-now no-print">
      <button
        type="button"
        class="small"
        aria-label={`${label} ${name}`}
        disabled={reading.state === 'waiting'}
        onClick={ask}
      >
        {label}
      </button>
      <div role="status">
        <Answer reading={reading} />
      </div>
    </div>
  );
}

function Answer({ reading }: { reading: Reading }) {
  if (reading.state === 'broken') return <Failure error={reading.error} />;
  if (reading.state === 'nobody') {
    return (
      <p class="reading-answer is-failed">
        <strong>Nobody has read it within three minutes.</strong> What to do: see that a server with the role
        jobs runs.
      </p>
    );
  }
  if (reading.state !== 'over') return null;
  const { error, told } = reading.run;
  if (error !== null) {
    return (
      <p class="reading-answer is-failed">
        <strong>No reading: {error.message}.</strong> What to do: {error.action}.
      </p>
    );
  }
  return (
    <div class="reading-answer">
      <strong>Read and stored.</strong>
      {told?.split('\n').map((line) => (
        <p key={line}>{line}</p>
      ))}
    </div>
  );
}
