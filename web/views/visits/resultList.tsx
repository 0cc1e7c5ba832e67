import type { VisitResultView } from '../../../api/schemas/visits.ts';
import { withQuery } from '../../client.ts';
import { formatChange, formatMoment, formatNumber } from '../../format.ts';
import { Link } from '../../parts/link.tsx';
import { OUTCOME_WORD, standingSentence } from './visitWords.ts';

interface ResultListProps {
  results: readonly VisitResultView[];
  /** Says of each at which site it was. */
  named?: boolean;
}

/** What was found and done, and what the sweeps say of it. */
export function ResultList({ results, named = false }: ResultListProps) {
  return (
    <ul class="rows results">
      {results.map((result) => (
        <li key={result.resultId}>
          <p>
            <strong>{OUTCOME_WORD[result.outcome]}</strong>
            {named && (
              <>
                {' '}
                at <Link href={`/sites/${result.siteId}`}>{result.siteName}</Link>
              </>
            )}
            , {result.pointName}
            {result.alertTitle && <span class="quiet"> – {result.alertTitle}</span>}
          </p>
          <Standing result={result} />
          <Told result={result} />
          <Readings result={result} />
          <p class="quiet">
            {formatMoment(result.doneAt, result.timeZone)}, {result.recordedBy}
          </p>
        </li>
      ))}
    </ul>
  );
}

function Standing({ result }: { result: VisitResultView }) {
  const { state, baselineFrom, baselineTo } = result.standing;
  const sentence = standingSentence(result);
  if (sentence === '') return null;
  const baseline = withQuery(`/setup/sites/${result.siteId}/points/${result.pointId}/baseline`, {
    from: baselineFrom,
    to: baselineTo,
  });
  return (
    <p class={state === 'still-there' ? 'abnormal' : ''}>
      {state === 'still-there' && <span aria-hidden="true">◆ </span>}
      {sentence} {state === 'normal-changed' && <Link href={baseline}>Look at the new baseline</Link>}
    </p>
  );
}

function Told({ result: { found, done, parts } }: { result: VisitResultView }) {
  const lines = [
    ['Found', found],
    ['Done', done],
    ['Parts', parts],
  ].filter(([, text]) => text !== '');
  if (lines.length === 0) return null;
  return (
    <p>
      {lines.map(([term, text]) => (
        <span key={term}>
          <span class="quiet">{term}:</span> {text}{' '}
        </span>
      ))}
    </p>
  );
}

function Readings({ result }: { result: VisitResultView }) {
  const { sweptBefore: before, sweptAfter: after, readChannel, timeZone } = result;
  const swept = [
    pair('level', before?.levelDbmv, after?.levelDbmv, 'dBmV', formatNumber),
    pair('off the baseline', before?.levelDevDb, after?.levelDevDb, 'dB', formatChange),
    pair('tilt', before?.tiltDb, after?.tiltDb, 'dB', formatChange),
  ].filter((text) => text !== null);
  const typed = [
    pair('level', result.levelBeforeDbmv, result.levelAfterDbmv, 'dBmV', formatNumber),
    pair('MER', result.merBeforeDb, result.merAfterDb, 'dB', formatNumber),
  ].filter((text) => text !== null);
  return (
    <>
      {swept.length > 0 && (
        <p>
          <span class="quiet">By sweeps, before → after:</span> {swept.join('; ')}{' '}
          <span class="quiet">
            {after ? `(after: ${formatMoment(after.at, timeZone)})` : '(no sweep since)'}
          </span>
        </p>
      )}
      {typed.length > 0 && (
        <p>
          <span class="quiet">By hand{readChannel && `, channel ${readChannel}`}, before → after:</span>{' '}
          {typed.join('; ')}
        </p>
      )}
    </>
  );
}

/** "level 10.9 → 13.4 dBmV"; null where there is neither. */
function pair(
  term: string,
  before: number | null | undefined,
  after: number | null | undefined,
  unit: string,
  format: (value: number | null) => string,
): string | null {
  if (before == null && after == null) return null;
  return `${term} ${format(before ?? null)} → ${format(after ?? null)} ${unit}`;
}
