import { useState } from 'preact/hooks';
import type { z } from 'zod';
import type { ProvidersSchema } from '../../../../api/schemas/providers.ts';
import type { SiteList } from '../../../../api/schemas/siteSetup.ts';
import { withQuery } from '../../../client.ts';
import { ChoiceField, TextField } from '../../../parts/field.tsx';
import { paths } from '../../../paths.ts';
import { useLoad } from '../../../useLoad.ts';
import { useSettled } from '../../../useSettled.ts';
import { PickMany } from './pickMany.tsx';

const FOUND = 6;

interface PlaceProps {
  ids: readonly number[] | null;
  onIds: (ids: number[] | null) => void;
  names: ReadonlyMap<number, string>;
  error?: string | undefined;
}

/** The sites that a rule is limited to, found by name. */
export function SitePick({
  ids,
  onIds,
  names,
  onName,
  error,
}: PlaceProps & { onName: (id: number, name: string) => void }) {
  const [search, setSearch] = useState('');
  const settled = useSettled(search.trim());
  const path = settled === '' ? null : withQuery(paths.sites, { search: settled, limit: FOUND });
  const { data } = useLoad<SiteList>(path);
  const found = settled === '' ? [] : (data?.sites ?? []).filter(({ siteId }) => !ids?.includes(siteId));
  const add = (siteId: number, name: string) => {
    onName(siteId, name);
    onIds([...(ids ?? []), siteId]);
    setSearch('');
  };
  return (
    <PickMany
      legend="Sites"
      none="Any site."
      chosen={(ids ?? []).map((id) => [id, names.get(id) ?? `site ${id}`] as const)}
      onRemove={(id) => onIds(without(ids, id))}
      error={error}
    >
      <TextField label="Only these: find a site by name" value={search} onValue={setSearch} />
      {found.length > 0 && (
        <ul class="picked">
          {found.map(({ siteId, name, town }) => (
            <li key={siteId}>
              {name}
              {town && `, ${town}`}
              <button
                type="button"
                class="small"
                aria-label={`Add ${name}`}
                onClick={() => add(siteId, name)}
              >
                Add
              </button>
            </li>
          ))}
        </ul>
      )}
      {settled !== '' && data && found.length === 0 && <p class="quiet">No other site is called that.</p>}
    </PickMany>
  );
}

/** The providers whose feeds a rule is limited to. */
export function ProviderPick({ ids, onIds, names, error }: PlaceProps) {
  const { data } = useLoad<z.infer<typeof ProvidersSchema>>(paths.providers);
  const left = (data?.providers ?? []).filter(({ providerId }) => !ids?.includes(providerId));
  return (
    <PickMany
      legend="Providers’ feeds"
      none="Any feed."
      chosen={(ids ?? []).map((id) => [id, names.get(id) ?? `provider ${id}`] as const)}
      onRemove={(id) => onIds(without(ids, id))}
      error={error}
    >
      <ChoiceField
        label="Only these"
        options={[['', 'choose a provider'], ...left.map((p) => [String(p.providerId), p.name] as const)]}
        value=""
        onValue={(value) => value !== '' && onIds([...(ids ?? []), Number(value)])}
      />
    </PickMany>
  );
}

function without(ids: readonly number[] | null, id: number): number[] | null {
  const left = (ids ?? []).filter((candidate) => candidate !== id);
  return left.length === 0 ? null : left;
}
