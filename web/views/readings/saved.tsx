import type { TypedForm, TypedSaved, TypedVerdict } from '../../../api/schemas/typedReadings.ts';
import { formatMoment } from '../../format.ts';
import { Link } from '../../parts/link.tsx';
import { VerdictSentences } from './verdictBar.tsx';

interface SavedProps {
  form: TypedForm;
  saved: TypedSaved;
  verdict: TypedVerdict | null;
  onAnother: () => void;
}

/** The readings are a sweep now: under which name, and what they said. */
export function Saved({ form: { site, point }, saved, verdict, onAnother }: SavedProps) {
  return (
    <section class="panel saved" role="status" aria-labelledby="saved-title">
      <h2 id="saved-title">Saved</h2>
      <p>
        The readings are stored as a sweep of {formatMoment(saved.at, site.timeZone)}, instrument{' '}
        <span class="mono">{saved.instrument}</span>.{saved.known && ' The server had it already.'}
      </p>
      {verdict && <VerdictSentences verdict={verdict} />}
      <div class="actions">
        <Link href={`/sites/${site.siteId}/points/${point.pointId}`} class="button">
          Show it at {point.label || point.name}
        </Link>
        <button type="button" onClick={onAnother}>
          Type another sweep
        </button>
      </div>
    </section>
  );
}
