import type { AuditRow } from '../../../../api/schemas/audit.ts';
import { formatMoment } from '../../../format.ts';
import { Link } from '../../../parts/link.tsx';
import { changedFields } from './changedFields.ts';

const VIA_WORDS: Readonly<Record<string, string>> = {
  session: 'signed in',
  token: 'by automation token',
  link: 'by one-time link',
};

/** One change: who and what in a line, the fields before and after behind it. */
export function AuditEntry({ row, zone }: { row: AuditRow; zone: string }) {
  const fields = changedFields(row.before, row.after);
  return (
    <li>
      <span>
        <strong>{row.by}</strong>: {row.action} {row.subjectKind} {row.subjectId}
      </span>
      <span class="quiet">
        {formatMoment(row.at, zone)}, {VIA_WORDS[row.via] ?? row.via}
        {row.siteId !== null && (
          <>
            {' · '}
            <Link href={`/sites/${row.siteId}`}>{row.site ?? `site ${row.siteId}`}</Link>
          </>
        )}
      </span>
      {fields.length > 0 && (
        <details class="audit-fields">
          <summary>{fields.length === 1 ? '1 field' : `${fields.length} fields`}</summary>
          <table>
            <thead>
              <tr>
                <th scope="col">Field</th>
                <th scope="col">Before</th>
                <th scope="col">After</th>
              </tr>
            </thead>
            <tbody>
              {fields.map(({ name, before, after }) => (
                <tr key={name}>
                  <th scope="row">{name}</th>
                  <td>{before}</td>
                  <td>{after}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </details>
      )}
    </li>
  );
}
