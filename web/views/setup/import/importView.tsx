import { useState } from 'preact/hooks';
import type { ImportForm, ImportReport } from '../../../../api/schemas/siteImport.ts';
import { post } from '../../../client.ts';
import { plural } from '../../../format.ts';
import { ChoiceField } from '../../../parts/field.tsx';
import { Failure, Waiting } from '../../../parts/notice.tsx';
import { paths } from '../../../paths.ts';
import { useLoad } from '../../../useLoad.ts';
import { useSubmit } from '../../../useSubmit.ts';
import { SetupMain } from '../setupMain.tsx';
import { FileField } from './fileField.tsx';
import { FormGuide } from './formGuide.tsx';
import { ReportPanel } from './reportPanel.tsx';

interface Files {
  readonly sites: string | null;
  readonly points: string | null;
}

/** Many sites at once from a spreadsheet: choose the files, see what they would do, then bring them in. */
export function ImportView() {
  const form = useLoad<ImportForm>(paths.siteImportForm);
  const [files, setFiles] = useState<Files>({ sites: null, points: null });
  const [known, setKnown] = useState<'skip' | 'update'>('skip');
  const [report, setReport] = useState<ImportReport | null>(null);
  const { run, busy, error } = useSubmit();
  const change = (changed: Partial<Files>) => {
    setReport(null);
    setFiles((old) => ({ ...old, ...changed }));
  };
  const send = (apply: boolean) =>
    run(async () => setReport(await post<ImportReport>(paths.siteImport, { ...files, known, apply })));
  const look = (event: Event) => {
    event.preventDefault();
    send(false);
  };
  const sound = report === null ? 0 : report.counts.add + report.counts.update;
  return (
    <SetupMain
      title="Bring in many sites"
      lead="From one or two sheets saved as CSV. First you see what they would do; nothing is kept until you say so."
    >
      <form class="panel form" onSubmit={look}>
        <h2>Files</h2>
        <div class="form-grid">
          <FileField label="Sites" hint="One row a site." required onText={(sites) => change({ sites })} />
          <FileField
            label="Points"
            hint="One row a point. May be left out."
            onText={(points) => change({ points })}
          />
          <ChoiceField
            label="A site whose name is here already"
            hint={
              known === 'skip'
                ? 'It and its points stay as they are.'
                : 'Filled cells replace what is here; empty cells leave it. No point is ever removed.'
            }
            value={known}
            options={[
              ['skip', 'is left as it is'],
              ['update', 'is updated'],
            ]}
            onValue={(value) => {
              setReport(null);
              setKnown(value as 'skip' | 'update');
            }}
          />
        </div>
        {error && <Failure error={error} />}
        <div class="actions">
          <button
            type="submit"
            class={report === null ? 'primary' : ''}
            disabled={busy || files.sites === null}
          >
            Look first
          </button>
          <span role="status">{busy && 'At work…'}</span>
        </div>
      </form>
      {report && (
        <ReportPanel report={report}>
          {!report.applied && sound > 0 && (
            <div class="actions">
              <button type="button" class="primary" disabled={busy} onClick={() => send(true)}>
                Bring in {plural(sound, 'site')}
              </button>
              {report.counts.refuse > 0 && (
                <span class="quiet">
                  {plural(report.counts.refuse, 'site')} with faults will be left out.
                </span>
              )}
            </div>
          )}
        </ReportPanel>
      )}
      {form.error && <Failure error={form.error} onRetry={form.reload} />}
      {!form.data && !form.error && <Waiting what="the form of the files" />}
      {form.data && <FormGuide form={form.data} />}
    </SetupMain>
  );
}
