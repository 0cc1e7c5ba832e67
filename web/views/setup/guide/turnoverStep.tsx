import { formatDay, formatNumber, plural } from '../../../format.ts';
import { Link } from '../../../parts/link.tsx';
import { ScrollRegion } from '../../../parts/scrollRegion.tsx';
import { KIND_WORD } from '../../../words.ts';
import type { StepProps } from './stepBody.tsx';

/** What is handed over: every point with its reference and who signed it. */
export function TurnoverStep({ setup, progress }: StepProps) {
  const { siteId, timeZone, address, town, outlets } = setup.site;
  const open = progress.steps.filter(({ missing }) => missing.length > 0).length;
  return (
    <section class="panel report" aria-labelledby="turnover-title">
      <h3 id="turnover-title">
        {open === 0 ? 'The site is set up and watched' : `Not yet: ${plural(open, 'step')} still open`}
      </h3>
      <p>
        {[address, town].filter((text) => text !== '').join(', ') || 'No address'};{' '}
        {plural(outlets, 'outlet')}. Dates in {timeZone}.
      </p>
      <ScrollRegion label="Points and their baselines">
        <table>
          <thead>
            <tr>
              <th>Point</th>
              <th>Kind</th>
              <th class="figure">Level now, dBmV</th>
              <th>Baseline</th>
              <th>Exception</th>
            </tr>
          </thead>
          <tbody>
            {progress.points.map(({ pointId, title, kind, heard, baseline }) => (
              <tr key={pointId}>
                <td>{title}</td>
                <td>{KIND_WORD[kind]}</td>
                <td class="figure">{formatNumber(heard?.levelDbmv ?? null)}</td>
                <td>
                  {baseline === null
                    ? 'none'
                    : `version ${baseline.version}, ${baseline.acceptedBy}, ${formatDay(baseline.acceptedAt, timeZone)}`}
                </td>
                <td>{baseline?.exceptionNote ?? '–'}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </ScrollRegion>
      <div class="actions no-print">
        <Link href={`/sites/${siteId}`} class="button primary">
          Go to the site
        </Link>
        <button type="button" onClick={() => print()}>
          Print this record
        </button>
        <Link href={`/setup/sites/${siteId}`}>All its settings</Link>
      </div>
    </section>
  );
}
