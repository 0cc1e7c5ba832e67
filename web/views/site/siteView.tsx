import { useRef } from 'preact/hooks';
import type { SiteView as Site } from '../../../api/schemas/site.ts';
import { Link } from '../../parts/link.tsx';
import { Empty, Failure, Waiting } from '../../parts/notice.tsx';
import { paths } from '../../paths.ts';
import { useLoad } from '../../useLoad.ts';
import { useTitle } from '../../useTitle.ts';
import { AgentList } from './agentList.tsx';
import { FindingList } from './findingList.tsx';
import { MaintenanceNote } from './maintenanceNote.tsx';
import { pointToOpen } from './placing.ts';
import { PointPanel } from './pointPanel.tsx';
import { PointTree } from './pointTree.tsx';
import { SiteAlerts } from './siteAlerts.tsx';
import { SiteFacts, SiteHeader } from './siteHeader.tsx';

const REFRESH_MS = 60_000;

/** One building: what changed, which hop to check, and the evidence for it. */
export function SiteView({ siteId, pointId }: { siteId: number; pointId: number | null }) {
  const { data: view, error, reload } = useLoad<Site>(paths.site(siteId), REFRESH_MS);
  const panel = useRef<HTMLDivElement>(null);

  useTitle(view?.site.name ?? null);

  if (!view) {
    return (
      <main class="page" id="main">
        <h1 tabIndex={-1}>Site {siteId}</h1>
        {error ? <Failure error={error} onRetry={reload} /> : <Waiting what="the site" />}
      </main>
    );
  }
  const open = view.points.find((point) => point.pointId === (pointId ?? pointToOpen(view)));
  const showPanel = () => panel.current?.scrollIntoView({ block: 'start' });
  return (
    <main class="page site" id="main">
      {error && <Failure error={error} onRetry={reload} />}
      <SiteHeader view={view} />
      <SiteAlerts siteId={siteId} />
      <MaintenanceNote windows={view.maintenance} timeZone={view.site.timeZone} />
      <SiteFacts site={view.site} />
      {view.points.length === 0 ? (
        <Empty>
          <p>
            This site has no test points yet. <Link href={`/setup/sites/${siteId}`}>Set up its points</Link>,
            from the handoff down.
          </p>
        </Empty>
      ) : (
        <div class="site-columns">
          <PointTree view={view} openId={open?.pointId ?? null} onOpen={showPanel} />
          <FindingList view={view} onOpen={showPanel} />
        </div>
      )}
      <AgentList agents={view.agents} timeZone={view.site.timeZone} />
      <div ref={panel} class="point-anchor">
        {open ? (
          <PointPanel key={open.pointId} view={view} point={open} />
        ) : (
          pointId !== null && (
            <Empty>
              <p>This site has no point {pointId}. Choose one from the tree above.</p>
            </Empty>
          )
        )}
      </div>
    </main>
  );
}
