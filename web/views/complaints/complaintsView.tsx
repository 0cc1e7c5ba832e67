import { useState } from 'preact/hooks';
import type { Complaints } from '../../../api/schemas/complaints.ts';
import { withQuery } from '../../client.ts';
import { plural } from '../../format.ts';
import { Link } from '../../parts/link.tsx';
import { Empty, Failure, Waiting } from '../../parts/notice.tsx';
import { paths } from '../../paths.ts';
import { useMay } from '../../session.ts';
import { useLoad } from '../../useLoad.ts';
import { useTitle } from '../../useTitle.ts';
import { ComplaintForm } from './complaintForm.tsx';
import { ComplaintList } from './complaintList.tsx';

const PAGE = 50;

/** What people in the buildings say, and whether it was known before they said it. */
export function ComplaintsView() {
  const [shown, setShown] = useState(PAGE);
  const { data, error, reload } = useLoad<Complaints>(withQuery(paths.complaints, { limit: shown }));
  const mayLog = useMay('technician');
  useTitle('Complaints');
  return (
    <main class="page" id="main">
      <header class="page-head">
        <h1 tabIndex={-1}>Complaints</h1>
        <p class="lead">
          Each complaint is held against what was known at that moment: warned before, seen but below notice,
          or not seen. <Link href="/complaints/figures">How often we are warned first</Link>
        </p>
      </header>
      <div class="complaint-columns">
        {mayLog && (
          <section class="panel no-print" aria-labelledby="log-title">
            <h2 id="log-title">Log a complaint</h2>
            <ComplaintForm onLogged={reload} />
          </section>
        )}
        <section aria-labelledby="complaints-title">
          <h2 id="complaints-title">
            {data && data.total > 0 ? `${plural(data.total, 'complaint')}, newest first` : 'Logged so far'}
          </h2>
          {error && <Failure error={error} onRetry={reload} />}
          {!data && !error && <Waiting what="the complaints" />}
          {data?.total === 0 && (
            <Empty>
              <p>No complaint has been logged yet. Logged ones show here with what was known before them.</p>
            </Empty>
          )}
          {data && <ComplaintList complaints={data.complaints} onChanged={reload} />}
          {data && data.total > data.complaints.length && (
            <button
              type="button"
              onClick={() => setShown(Math.min(200, shown + PAGE))}
              disabled={shown >= 200}
            >
              {shown >= 200 ? 'Older ones are not shown here' : 'Show older ones'}
            </button>
          )}
        </section>
      </div>
    </main>
  );
}
