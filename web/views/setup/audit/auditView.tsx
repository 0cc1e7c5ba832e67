import { useState } from 'preact/hooks';
import type { AuditPage, AuditRow } from '../../../../api/schemas/audit.ts';
import { get, withQuery } from '../../../client.ts';
import { TextField } from '../../../parts/field.tsx';
import { Empty, Failure, Waiting } from '../../../parts/notice.tsx';
import { paths } from '../../../paths.ts';
import { useLoad } from '../../../useLoad.ts';
import { useSettled } from '../../../useSettled.ts';
import { useSubmit } from '../../../useSubmit.ts';
import { ownZone, toInstant } from '../../../zonedTime.ts';
import { SetupMain } from '../setupMain.tsx';
import { AuditEntry } from './auditEntry.tsx';

interface Question {
  readonly who: string;
  readonly what: string;
  readonly site: string;
  readonly fromDay: string;
  readonly toDay: string;
}

const EVERYTHING: Question = { who: '', what: '', site: '', fromDay: '', toDay: '' };

/** Who changed what, and how it stood before. */
export function AuditView() {
  const zone = ownZone();
  const [question, setQuestion] = useState(EVERYTHING);
  const query = queryOf(useSettled(question), zone);
  const newest = useLoad<AuditPage>(withQuery(paths.audit, query));
  const field = (name: keyof Question) => ({
    value: question[name],
    onValue: (value: string) => setQuestion({ ...question, [name]: value }),
  });
  return (
    <SetupMain
      title="Audit"
      lead="Every change that somebody made, signed in or by a token, from sites and probes to alerts, notifications and visits: who made it, and what stood before and after. It is only ever added to. Secrets are never kept in it."
    >
      <div class="form-grid">
        <TextField label="Who" hint="Part of a name." {...field('who')} />
        <TextField
          label="What"
          hint="Such as “baseline”, “add point” or “shelve alert”."
          {...field('what')}
        />
        <TextField label="Site" hint="Part of its name." {...field('site')} />
        <TextField label="From day" type="date" {...field('fromDay')} />
        <TextField label="To day" type="date" {...field('toDay')} />
      </div>
      <p class="actions">
        <a class="button small" href={withQuery(paths.auditCsv, query)}>
          Save these as CSV
        </a>
        <a class="button small" href={withQuery(paths.auditLines, query)}>
          Save these as JSON lines
        </a>
      </p>
      {newest.error && <Failure error={newest.error} onRetry={newest.reload} />}
      {!newest.data && !newest.error && <Waiting what="the audit" />}
      {newest.data?.rows.length === 0 && (
        <Empty>{question === EVERYTHING ? 'Nothing has been changed yet.' : 'No change matches.'}</Empty>
      )}
      {newest.data && newest.data.rows.length > 0 && (
        <AuditList key={keyOf(query, newest.data)} first={newest.data} query={query} zone={zone} />
      )}
    </SetupMain>
  );
}

/** Another answer begins another list, so that older pages of the last one don't stay under it. */
function keyOf(query: Query, { rows, more }: AuditPage): string {
  return JSON.stringify([query, rows[0]?.auditId, rows.length, more]);
}

type Query = Record<'who' | 'what' | 'site', string> & Record<'from' | 'to', string | null>;

function queryOf({ who, what, site, fromDay, toDay }: Question, zone: string): Query {
  return {
    who,
    what,
    site,
    from: fromDay === '' ? null : toInstant(`${fromDay}T00:00`, zone),
    to: toDay === '' ? null : toInstant(`${toDay}T23:59:59`, zone),
  };
}

/** The newest page, and older ones as they are asked for. */
function AuditList({ first, query, zone }: { first: AuditPage; query: Query; zone: string }) {
  const [older, setOlder] = useState<{ readonly rows: readonly AuditRow[]; readonly more: boolean }>({
    rows: [],
    more: first.more,
  });
  const loading = useSubmit();
  const rows = [...first.rows, ...older.rows];
  const loadOlder = () =>
    loading.run(async () => {
      const page = await get<AuditPage>(withQuery(paths.audit, { ...query, before: rows.at(-1)!.auditId }));
      setOlder({ rows: [...older.rows, ...page.rows], more: page.more });
    });
  return (
    <>
      <ul class="rows">
        {rows.map((row) => (
          <AuditEntry key={row.auditId} row={row} zone={zone} />
        ))}
      </ul>
      {loading.error && <Failure error={loading.error} />}
      {older.more && (
        <p>
          <button type="button" disabled={loading.busy} onClick={loadOlder}>
            Show older changes
          </button>
        </p>
      )}
    </>
  );
}
