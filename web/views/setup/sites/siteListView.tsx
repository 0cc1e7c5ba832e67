import { useState } from 'preact/hooks';
import type { SiteList } from '../../../../api/schemas/siteSetup.ts';
import { withQuery } from '../../../client.ts';
import { formatAgo, plural } from '../../../format.ts';
import { TextField } from '../../../parts/field.tsx';
import { Link } from '../../../parts/link.tsx';
import { Empty, Failure, Waiting } from '../../../parts/notice.tsx';
import { paths } from '../../../paths.ts';
import { useLoad } from '../../../useLoad.ts';
import { useSettled } from '../../../useSettled.ts';
import { SetupMain } from '../setupMain.tsx';

const SHOWN = 100;

/** Every site with how far its set-up has come. */
export function SiteListView() {
  const [search, setSearch] = useState('');
  const settled = useSettled(search);
  const { data, error, reload } = useLoad<SiteList>(
    withQuery(paths.sites, { search: settled, limit: SHOWN }),
  );
  return (
    <SetupMain
      title="Sites"
      lead="A site needs a provider, a channel plan, points from the handoff down, and a key for what sends its sweeps."
    >
      <div class="actions">
        <Link href="/setup/new-site" class="button primary">
          Set up a site
        </Link>
        <Link href="/setup/import" class="button">
          Bring in many from a spreadsheet
        </Link>
      </div>
      <TextField
        label="Find"
        value={search}
        onValue={setSearch}
        hint="Words from name, town, address or provider."
      />
      {error && <Failure error={error} onRetry={reload} />}
      {!data && !error && <Waiting what="the sites" />}
      {data?.total === 0 && <Empty>{settled ? 'No site matches.' : 'No site yet.'}</Empty>}
      {data && data.total > 0 && <SiteTable list={data} />}
    </SetupMain>
  );
}

function SiteTable({ list }: { list: SiteList }) {
  return (
    <>
      <ul class="rows">
        {list.sites.map((site) => (
          <li key={site.siteId}>
            <span>
              <Link href={`/setup/sites/${site.siteId}`} class="row-link">
                {site.name}
              </Link>{' '}
              {site.town}
            </span>
            <span class="quiet">
              {site.provider ?? 'no provider'} · {site.plan ?? 'no channel plan'} ·{' '}
              {plural(site.points, 'point')} · {plural(site.outlets, 'outlet')} · {plural(site.keys, 'key')}
              {site.lastKeyUseAt && `, last used ${formatAgo(site.lastKeyUseAt, Date.now())}`}
            </span>
          </li>
        ))}
      </ul>
      {list.total > list.sites.length && (
        <p class="quiet">
          {list.sites.length} of {plural(list.total, 'site')} shown; add a word to find the others.
        </p>
      )}
    </>
  );
}
