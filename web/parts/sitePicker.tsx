import { useState } from 'preact/hooks';
import type { SiteList } from '../../api/schemas/siteSetup.ts';
import { withQuery } from '../client.ts';
import { plural } from '../format.ts';
import { paths } from '../paths.ts';
import { useLoad } from '../useLoad.ts';
import { useSettled } from '../useSettled.ts';
import { Field } from './field.tsx';
import { Failure } from './notice.tsx';

const OFFERED = 6;

export type PickedSite = Pick<SiteList['sites'][number], 'siteId' | 'name' | 'town'>;

interface SitePickerProps {
  label: string;
  site: PickedSite | null;
  onSite: (site: PickedSite | null) => void;
}

/** A site by a few letters of its name, town or address; Enter takes the first. */
export function SitePicker({ label, site, onSite }: SitePickerProps) {
  const [search, setSearch] = useState('');
  const words = useSettled(search.trim());
  const { data, error } = useLoad<SiteList>(
    words === '' || site ? null : withQuery(paths.sites, { search: words, limit: OFFERED }),
  );
  if (site) {
    return (
      <div class="field">
        <span class="field-name">{label}</span>
        <p class="picked-site">
          <strong>{site.name}</strong> <span class="quiet">{site.town}</span>{' '}
          <button type="button" class="small" onClick={() => onSite(null)}>
            Change
          </button>
        </p>
      </div>
    );
  }
  const found = words === '' ? [] : (data?.sites ?? []);
  const take = (picked: PickedSite) => {
    setSearch('');
    onSite(picked);
  };
  const onKeyDown = (event: KeyboardEvent) => {
    if (event.key !== 'Enter') return;
    event.preventDefault();
    if (found[0]) take(found[0]);
  };
  return (
    <div class="site-picker">
      <Field label={label} hint="A few letters of its name, town or address.">
        {(tied) => (
          <input
            {...tied}
            type="text"
            autocomplete="off"
            value={search}
            onInput={(event) => setSearch(event.currentTarget.value)}
            onKeyDown={onKeyDown}
          />
        )}
      </Field>
      {error && <Failure error={error} />}
      <p class="sr-only" role="status">
        {words !== '' && data ? `${plural(found.length, 'building')} offered` : ''}
      </p>
      {words !== '' && data && found.length === 0 && <p class="quiet">No building matches.</p>}
      {found.length > 0 && (
        <ul class="offers">
          {found.map((offer) => (
            <li key={offer.siteId}>
              <button type="button" onClick={() => take(offer)}>
                {offer.name} <span class="quiet">{offer.town}</span>
              </button>
            </li>
          ))}
        </ul>
      )}
    </div>
  );
}
