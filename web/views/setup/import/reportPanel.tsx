import type { ComponentChildren } from 'preact';
import type { ImportFault, ImportReport } from '../../../../api/schemas/siteImport.ts';
import { plural } from '../../../format.ts';
import { Link } from '../../../parts/link.tsx';
import { ScrollRegion } from '../../../parts/scrollRegion.tsx';
import { saveFile } from '../../../saveFile.ts';
import { faultsCsv } from './faultsCsv.ts';

type Action = keyof ImportReport['counts'];

const SHOWN_FAULTS = 200;
const SHOWN_SITES = 50;
const DONE: Readonly<Record<Action, string>> = {
  add: 'added',
  update: 'updated',
  unchanged: 'unchanged',
  skip: 'left as they are',
  refuse: 'left out for a fault',
};
const PLANNED: Readonly<Record<Action, string>> = {
  add: 'to be added',
  update: 'to be updated',
  unchanged: 'unchanged',
  skip: 'left as they are',
  refuse: 'with a fault',
};

/** What an import did or would do, and every fault by row and column. */
export function ReportPanel({ report, children }: { report: ImportReport; children: ComponentChildren }) {
  const words = report.applied ? DONE : PLANNED;
  const { added, changed } = report.points;
  return (
    <section class="panel report" aria-labelledby="report-title">
      <h2 id="report-title">{report.applied ? 'What was done' : 'What would be done'}</h2>
      <dl class="facts">
        {(Object.keys(words) as Action[])
          .filter((action) => report.counts[action] > 0)
          .map((action) => (
            <div key={action}>
              <dt>Sites {words[action]}</dt>
              <dd>{report.counts[action]}</dd>
            </div>
          ))}
        <div>
          <dt>Points {report.applied ? 'added' : 'to be added'}</dt>
          <dd>{added}</dd>
        </div>
        {changed > 0 && (
          <div>
            <dt>Points {report.applied ? 'changed' : 'to be changed'}</dt>
            <dd>{changed}</dd>
          </div>
        )}
      </dl>
      {children}
      <Faults report={report} />
      <details>
        <summary>Site by site ({report.sites.length})</summary>
        <ul class="rows">
          {report.sites.slice(0, SHOWN_SITES).map(({ name, siteId, action, pointsAdded }) => (
            <li key={name}>
              {siteId === null ? (
                <strong>{name}</strong>
              ) : (
                <Link href={`/setup/new-site/${siteId}`}>{name}</Link>
              )}
              <span class="quiet">
                {words[action]}
                {pointsAdded > 0 && `, ${plural(pointsAdded, 'new point')}`}
              </span>
            </li>
          ))}
        </ul>
        {report.sites.length > SHOWN_SITES && (
          <p class="quiet">
            The first {SHOWN_SITES} are shown; all are in the list of sites once they are in.
          </p>
        )}
      </details>
    </section>
  );
}

function Faults({ report: { faults } }: { report: ImportReport }) {
  if (faults.length === 0) return <p>No fault was found.</p>;
  return (
    <>
      <h3>{plural(faults.length, 'fault')}</h3>
      <ScrollRegion class="plan-table" label="Faults by row and column">
        <ul class="rows">
          {faults.slice(0, SHOWN_FAULTS).map((fault, i) => (
            <li key={`${i} ${fault.row} ${fault.column}`}>
              <strong>{placeOf(fault)}</strong>
              <span>
                {fault.value !== '' && <span class="mono">{fault.value} </span>}
                {fault.problem}
              </span>
            </li>
          ))}
        </ul>
      </ScrollRegion>
      {faults.length > SHOWN_FAULTS && <p class="quiet">The first {SHOWN_FAULTS} are shown.</p>}
      <div class="actions">
        <button type="button" class="small" onClick={() => saveFile('faults.csv', faultsCsv(faults))}>
          Save all faults as CSV
        </button>
      </div>
    </>
  );
}

/** "Sites, row 3, column latitude". */
function placeOf({ file, row, column }: ImportFault): string {
  const parts = [file === 'sites' ? 'Sites' : 'Points'];
  if (row !== null) parts.push(`row ${row}`);
  if (column !== null) parts.push(`column ${column}`);
  return parts.join(', ');
}
