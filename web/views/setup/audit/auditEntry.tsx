import type { AuditRow } from '../../../../api/schemas/audit.ts';
import { formatMoment } from '../../../format.ts';
import { Link } from '../../../parts/link.tsx';
import { changedFields } from './changedFields.ts';

const VIA_WORDS: Readonly<Record<string, string>> = {
  session: 'signed in',
  token: 'by automation token',
  link: 'by one-time link',
};

/** So few fields are shown at once. */
const OPEN_UP_TO = 3;

const DONE_WORDS: Readonly<Record<string, string>> = {
  accept: 'accepted',
  acknowledge: 'acknowledged',
  add: 'added',
  'add version': 'added a version of',
  'ask for reading': 'asked for a reading of',
  cancel: 'cancelled',
  change: 'changed',
  choose: 'chose',
  enter: 'entered',
  import: 'brought in',
  issue: 'issued',
  'issue password link': 'issued a password link for',
  log: 'logged',
  make: 'made',
  note: 'put a note on',
  plan: 'planned',
  record: 'recorded',
  remove: 'removed',
  rename: 'renamed',
  'renew secret': 'made a new secret for',
  'return to service': 'returned to service',
  revoke: 'revoked',
  'send again': 'sent again',
  'set password': 'set the password of',
  shelve: 'shelved',
  'take out of service': 'took out of service',
  test: 'sent a test to',
  type: 'typed',
  unshelve: 'took off the shelf',
  withdraw: 'withdrew',
  'withdraw version': 'withdrew a version of',
};

/** "added point 62, “Outlet, far block”". */
function actionWords({ action, subjectKind, subjectId, before, after }: AuditRow): string {
  const name = nameOf(after) ?? nameOf(before);
  return `${DONE_WORDS[action] ?? action} ${subjectKind} ${subjectId}${name ? `, “${name}”` : ''}`;
}

function nameOf(value: unknown): string | null {
  if (typeof value !== 'object' || value === null) return null;
  const fields = value as Record<string, unknown>;
  const names = [fields['label'], fields['name'], fields['email'], fields['title'], fields['reason']];
  return names.find((name): name is string => typeof name === 'string' && name !== '') ?? null;
}

/** One change: who and what in a line, the fields before and after behind it. */
export function AuditEntry({ row, zone }: { row: AuditRow; zone: string }) {
  const fields = changedFields(row.before, row.after);
  return (
    <li>
      <span>
        <strong>{row.by}</strong> {actionWords(row)}
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
        <details class="audit-fields" open={fields.length <= OPEN_UP_TO}>
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
