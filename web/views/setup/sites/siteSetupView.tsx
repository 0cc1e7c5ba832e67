import type { SiteProgress } from '../../../../api/schemas/siteProgress.ts';
import type { SiteSetupView as Setup } from '../../../../api/schemas/siteSetup.ts';
import { patch } from '../../../client.ts';
import { Link } from '../../../parts/link.tsx';
import { Failure, Waiting } from '../../../parts/notice.tsx';
import { paths } from '../../../paths.ts';
import { useLoad } from '../../../useLoad.ts';
import { MissingPanel } from '../guide/missingPanel.tsx';
import { guideAddress } from '../guide/steps.ts';
import { SetupMain } from '../setupMain.tsx';
import { Instruments } from './instruments.tsx';
import { PointsEditor } from './pointsEditor.tsx';
import { SiteProbes } from './probes/siteProbes.tsx';
import { RejectedSweepList } from './rejectedSweepList.tsx';
import { siteDraft } from './siteDraft.ts';
import { SiteForm } from './siteForm.tsx';
import { SiteKeys } from './siteKeys.tsx';
import { SiteLimitsPanel } from './siteLimitsPanel.tsx';

/** Everything that is set at one site. */
export function SiteSetupView({ siteId }: { siteId: number }) {
  const { data, error, reload: reloadSetup } = useLoad<Setup>(paths.siteSetup(siteId));
  const progress = useLoad<SiteProgress>(paths.siteProgress(siteId));
  const reload = () => {
    reloadSetup();
    progress.reload();
  };
  if (!data) {
    return (
      <SetupMain title={`Site ${siteId}`}>
        {error ? <Failure error={error} onRetry={reload} /> : <Waiting what="the set-up" />}
      </SetupMain>
    );
  }
  return (
    <SetupMain title={data.site.name}>
      <p>
        <Link href={`/sites/${siteId}`}>See how it does</Link> ·{' '}
        <Link href={guideAddress(siteId)}>Set it up step by step</Link>
      </p>
      {progress.error && <Failure error={progress.error} onRetry={progress.reload} />}
      {progress.data && <MissingPanel progress={progress.data} open={false} />}
      <section class="panel" aria-labelledby="site-title">
        <h2 id="site-title">Site</h2>
        <SiteForm
          initial={siteDraft(data.site)}
          does="Save"
          onSend={async (site) => {
            await patch(paths.site(siteId), site);
            reload();
          }}
        />
      </section>
      <PointsEditor siteId={siteId} points={data.points} onChanged={reload} />
      <SiteProbes siteId={siteId} timeZone={data.site.timeZone} points={data.points} />
      <SiteKeys siteId={siteId} timeZone={data.site.timeZone} onChanged={progress.reload} />
      <Instruments siteId={siteId} timeZone={data.site.timeZone} />
      <SiteLimitsPanel key={limitedBy(data)} siteId={siteId} timeZone={data.site.timeZone} />
      <RejectedSweepList siteId={siteId} timeZone={data.site.timeZone} />
    </SetupMain>
  );
}

/** Changes whenever the limits of a site's points may have. */
function limitedBy({ points }: Setup): string {
  return points.map(({ pointId, label, name, kind }) => `${pointId} ${kind} ${label || name}`).join();
}
