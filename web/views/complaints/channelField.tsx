import type { SiteServices } from '../../../api/schemas/complaints.ts';
import { withQuery } from '../../client.ts';
import { formatMhz } from '../../format.ts';
import { TextField } from '../../parts/field.tsx';
import { paths } from '../../paths.ts';
import { useLoad } from '../../useLoad.ts';
import { useSettled } from '../../useSettled.ts';

const OFFERED = 5;

interface ChannelFieldProps {
  siteId: number;
  /** When it was seen; null is now. */
  at: string | null;
  said: string;
  chosen: string | null;
  error: string | undefined;
  onSaid: (said: string) => void;
  onChosen: (channel: string) => void;
}

/** The channel as the viewer says it, and the RF channel behind it by the plan in force. */
export function ChannelField(props: ChannelFieldProps) {
  const { siteId, at, said, chosen, error, onSaid, onChosen } = props;
  const search = useSettled(said.trim());
  const { data } = useLoad<SiteServices>(
    search === '' ? null : withQuery(paths.siteServices(siteId), { search, at }),
  );
  const channels = search === '' ? [] : (data?.channels ?? []);
  const only = channels.length === 1 ? channels[0]! : null;
  return (
    <div class="field">
      <TextField
        label="Channel, as they call it"
        hint="Its number or name; leave empty when it is all of them."
        value={said}
        onValue={onSaid}
        error={error}
      />
      <div role="status">
        {search !== '' && data && channels.length === 0 && (
          <p class="quiet">
            The channel plan of this site knows no such channel. It can be logged all the same.
          </p>
        )}
        {only && (
          <p>
            That is RF channel {only.channel}, {formatMhz(only.centreMhz)} MHz.{' '}
            <span class="quiet">{alsoThere(only, search)}</span>
          </p>
        )}
        {channels.length > 1 && <p class="quiet">Which of these?</p>}
      </div>
      {channels.length > 1 && (
        <ul class="offers">
          {channels.slice(0, OFFERED).map((channel) => (
            <li key={channel.channel}>
              <button
                type="button"
                aria-pressed={chosen === channel.channel}
                onClick={() => onChosen(channel.channel)}
              >
                {named(channel.services)}{' '}
                <span class="quiet">
                  RF channel {channel.channel}, {formatMhz(channel.centreMhz)} MHz
                </span>
              </button>
            </li>
          ))}
        </ul>
      )}
      {channels.length > OFFERED && <p class="quiet">Say more of it to find the others.</p>}
    </div>
  );
}

type Services = SiteServices['channels'][number]['services'];

function named(services: Services): string {
  const [first, ...others] = services;
  if (!first) return 'No service set';
  const more = others.length > 0 ? ` and ${others.length} more` : '';
  return `${first.number} ${first.name}${more}`;
}

/** Asking for one of the others tells a bad RF channel from a bad service. */
function alsoThere({ services }: SiteServices['channels'][number], said: string): string {
  const wanted = said.toLowerCase();
  const others = services.filter(
    ({ number, name }) => number.toLowerCase() !== wanted && name.toLowerCase() !== wanted,
  );
  if (others.length === 0) return '';
  const words = others.slice(0, 3).map(({ number, name }) => `${number} ${name}`);
  return `Ask whether ${words.join(' or ')} is bad too: it comes on the same RF channel.`;
}
