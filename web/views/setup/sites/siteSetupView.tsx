import type { SiteSetupView as Setup } from '../../../../api/schemas/siteSetup.ts';
import { patch, post } from '../../../client.ts';
import { Link } from '../../../parts/link.tsx';
import { Failure, Waiting } from '../../../parts/notice.tsx';
import { paths } from '../../../paths.ts';
import { navigate } from '../../../router.ts';
import { useLoad } from '../../../useLoad.ts';
import { ownZone } from '../../../zonedTime.ts';
import { SetupMain } from '../setupMain.tsx';
import { Instruments } from './instruments.tsx';
import { PointsEditor } from './pointsEditor.tsx';
import { RejectedSweepList } from './rejectedSweepList.tsx';
import { emptySite, siteDraft } from './siteDraft.ts';
import { SiteForm } from './siteForm.tsx';
import { SiteKeys } from './siteKeys.tsx';
import { SiteLimitsPanel } from './siteLimitsPanel.tsx';

export function SiteSetupView({ siteId }: { siteId: number | null }) {
  return siteId === null ? <NewSite /> : <ExistingSite siteId={siteId} />;
}

function NewSite() {
  return (
    <SetupMain title="Set up a site" lead="Points and the site key come next.">
      <section class="panel">
        <SiteForm
          initial={emptySite(ownZone())}
          does="Make the site"
          onSend={async (site) => {
            const made = await post<Setup>(paths.sites, site);
            navigate(`/setup/sites/${made.site.siteId}`);
          }}
        />
      </section>
    </SetupMain>
  );
}

function ExistingSite({ siteId }: { siteId: number }) {
  const { data, error, reload } = useLoad<Setup>(paths.siteSetup(siteId));
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
        <Link href={`/sites/${siteId}`}>See how it does</Link>
      </p>
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
      <SiteKeys siteId={siteId} timeZone={data.site.timeZone} />
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
