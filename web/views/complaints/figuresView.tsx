import { useState } from 'preact/hooks';
import type { ComplaintFigures, Share } from '../../../api/schemas/complaints.ts';
import { withQuery } from '../../client.ts';
import { formatShare, plural } from '../../format.ts';
import { ChoiceField } from '../../parts/field.tsx';
import { Link } from '../../parts/link.tsx';
import { Failure, Waiting } from '../../parts/notice.tsx';
import { paths } from '../../paths.ts';
import { useLoad } from '../../useLoad.ts';
import { useTitle } from '../../useTitle.ts';
import { formatLead } from './judgementWords.ts';

const SPANS = [
  ['3', 'Last 3 months'],
  ['12', 'Last 12 months'],
  ['36', 'Last 3 years'],
] as const;

/** The measure that the product lives by: are we warned before anybody complains? */
export function FiguresView() {
  const [months, setMonths] = useState('12');
  const { data, error, reload } = useLoad<ComplaintFigures>(withQuery(paths.complaintFigures, { months }));
  useTitle('How often we are warned first');
  return (
    <main class="page" id="main">
      <header class="page-head">
        <nav class="crumbs no-print" aria-label="You are here">
          <Link href="/complaints">Complaints</Link> <span aria-hidden="true">/</span> Figures
        </nav>
        <h1 tabIndex={-1}>How often we are warned first</h1>
        <div class="span-choice no-print">
          <ChoiceField label="Over" value={months} onValue={setMonths} options={SPANS} />
        </div>
      </header>
      {error && <Failure error={error} onRetry={reload} />}
      {!data && !error && <Waiting what="the figures" />}
      {data && <Summary figures={data} />}
      {data && data.months.length > 0 && <Months figures={data} />}
      <Counting />
    </main>
  );
}

function Summary({ figures }: { figures: ComplaintFigures }) {
  const { complaints, warned, medianLeadHours, nothingFound } = figures;
  return (
    <dl class="measures">
      <div class="panel">
        <dt>Complaints with a warning before them</dt>
        <dd>
          <ShareFigure share={warned} />
          <ShareBar share={warned} />
          <p class="quiet">
            {complaints === 0
              ? 'No complaint was logged in this time.'
              : `${warned.hits} of ${plural(complaints, 'complaint')}; ${figures.byAlert.hits} by an alert.`}
          </p>
        </dd>
      </div>
      <div class="panel">
        <dt>Time between warning and complaint</dt>
        <dd>
          <p class="measure">{medianLeadHours === null ? '–' : formatLead(medianLeadHours)}</p>
          <p class="quiet">
            {medianLeadHours === null ? 'Nothing was warned of before.' : 'Median of those warned of before.'}
          </p>
        </dd>
      </div>
      <div class="panel">
        <dt>Alerts with nothing behind them</dt>
        <dd>
          <ShareFigure share={nothingFound} />
          <ShareBar share={nothingFound} />
          <p class="quiet">
            {nothingFound.of === 0
              ? 'No result of a visit was recorded in this time.'
              : `${nothingFound.hits} of ${plural(nothingFound.of, 'alert')} that somebody looked into.`}
          </p>
        </dd>
      </div>
    </dl>
  );
}

function ShareFigure({ share }: { share: Share }) {
  if (share.share === null) return <p class="measure">–</p>;
  return (
    <p>
      <span class="measure">{formatShare(share.share)}</span>{' '}
      <span class="quiet">{intervalWords(share)}</span>
    </p>
  );
}

function intervalWords({ low, high }: Share): string {
  return low === null || high === null ? '' : `(${Math.round(100 * low)} to ${formatShare(high)})`;
}

/** Where the share lies between 0 and 100 %, and how far it may be off. */
function ShareBar({ share: { share, low, high } }: { share: Share }) {
  if (share === null || low === null || high === null) return null;
  return (
    <svg class="share-bar" viewBox="0 0 100 6" preserveAspectRatio="none" aria-hidden="true">
      <rect class="share-ground" x="0" y="2.5" width="100" height="1" />
      <rect class="share-range" x={100 * low} y="1.5" width={100 * (high - low)} height="3" />
      <rect
        class="share-middle"
        x={Math.min(99, Math.max(0, 100 * share - 0.5))}
        y="0"
        width="1"
        height="6"
      />
    </svg>
  );
}

function Months({ figures }: { figures: ComplaintFigures }) {
  return (
    <section class="panel" aria-labelledby="months-title">
      <h2 id="months-title">By month</h2>
      <table class="months">
        <thead>
          <tr>
            <th scope="col">Month</th>
            <th scope="col" class="figure">
              Complaints
            </th>
            <th scope="col">Warned before</th>
            <th scope="col" class="figure">
              By an alert
            </th>
            <th scope="col" class="figure">
              Below notice
            </th>
            <th scope="col" class="figure">
              Not seen
            </th>
            <th scope="col">Median lead</th>
            <th scope="col">Nothing behind the alert</th>
          </tr>
        </thead>
        <tbody>
          {figures.months.map((month) => (
            <tr key={month.month}>
              <th scope="row">{monthName(month.month)}</th>
              <Cell term="Complaints" figure text={String(month.complaints)} />
              <Cell term="Warned before" text={shareWords(month.warned)} />
              <Cell term="By an alert" figure text={String(month.byAlert.hits)} />
              <Cell term="Below notice" figure text={String(month.belowNotice)} />
              <Cell term="Not seen" figure text={String(month.notSeen)} />
              <Cell
                term="Median lead"
                text={month.medianLeadHours === null ? '–' : formatLead(month.medianLeadHours)}
              />
              <Cell term="Nothing behind the alert" text={shareWords(month.nothingFound)} />
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}

/** On a phone the heads are gone, and each figure says itself what it is. */
function Cell({ term, text, figure = false }: { term: string; text: string; figure?: boolean }) {
  return (
    <td data-term={term} class={figure ? 'figure' : ''}>
      {text}
    </td>
  );
}

function shareWords(share: Share): string {
  if (share.share === null) return '–';
  return `${share.hits} of ${share.of}: ${formatShare(share.share)} ${intervalWords(share)}`;
}

/** "2026-03" → "March 2026". */
function monthName(month: string): string {
  return new Intl.DateTimeFormat('en-GB', { month: 'long', year: 'numeric', timeZone: 'UTC' }).format(
    new Date(`${month}-01T00:00:00Z`),
  );
}

function Counting() {
  return (
    <details>
      <summary>How this is counted</summary>
      <ul class="counting">
        <li>
          Warned before: an alert, or a finding large enough to act on, was told before the viewer saw it, at
          the point or upstream of it, on that channel or on the whole band, and was not over for more than a
          day.
        </li>
        <li>
          Seen, below notice: it had begun by then and was told only later, was too small to act on, or level
          or tilt lay 1 dB or more off the baseline in the six hours before.
        </li>
        <li>
          Complaints are judged by the findings as they stand now, so a figure can move when late sweeps come
          in.
        </li>
        <li>An alert has nothing behind it when the newest result of a visit says so.</li>
        <li>
          Ranges in brackets are 95 % intervals after Wilson (1927): with few complaints a share says little.
          Months are those of each building’s own zone.
        </li>
        <li>The day, the six hours and the 1 dB are common practice, with no source.</li>
      </ul>
    </details>
  );
}
