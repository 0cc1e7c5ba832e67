import type { Modulation } from '../../../../ingest/plan/channelPlan.ts';
import { ScrollRegion } from '../../../parts/scrollRegion.tsx';
import { MODULATION_WORD } from '../../../words.ts';
import { type ChannelDraft, nextChannel } from './planDraft.ts';

interface ChannelEditorProps {
  channels: readonly ChannelDraft[];
  onChannels: (channels: readonly ChannelDraft[]) => void;
}

const MODULATIONS = Object.entries(MODULATION_WORD) as [Modulation, string][];

/** A plan's channels, each line to be changed or taken away. */
export function ChannelEditor({ channels, onChannels }: ChannelEditorProps) {
  const change = (id: number, changed: Partial<ChannelDraft>) =>
    onChannels(channels.map((channel) => (channel.id === id ? { ...channel, ...changed } : channel)));
  return (
    <>
      <ScrollRegion class="plan-table" label="Channels of this version">
        <table>
          <thead>
            <tr>
              <th>RF channel</th>
              <th>Centre, MHz</th>
              <th>Width, MHz</th>
              <th>Modulation</th>
              <th>Programmes: viewer’s number and name, divided by “;”</th>
              <th>
                <span class="sr-only">Take away</span>
              </th>
            </tr>
          </thead>
          <tbody>
            {channels.map((channel) => (
              <ChannelLine
                key={channel.id}
                channel={channel}
                onChange={(changed) => change(channel.id, changed)}
                onRemove={() => onChannels(channels.filter((other) => other.id !== channel.id))}
              />
            ))}
          </tbody>
        </table>
      </ScrollRegion>
      <div class="actions">
        <button type="button" class="small" onClick={() => onChannels([...channels, nextChannel(channels)])}>
          Add a channel
        </button>
      </div>
    </>
  );
}

interface ChannelLineProps {
  channel: ChannelDraft;
  onChange: (changed: Partial<ChannelDraft>) => void;
  onRemove: () => void;
}

function ChannelLine({ channel, onChange, onRemove }: ChannelLineProps) {
  const name = channel.channel || 'the new channel';
  const cell = (field: 'channel' | 'centreMhz' | 'widthMhz' | 'services', label: string) => (
    <td>
      <input
        aria-label={`${label} of RF ${name}`}
        class={field === 'services' ? 'wide-input' : 'short-input'}
        value={channel[field]}
        onChange={(event) => onChange({ [field]: event.currentTarget.value })}
      />
    </td>
  );
  return (
    <tr>
      {cell('channel', 'Name')}
      {cell('centreMhz', 'Centre, MHz,')}
      {cell('widthMhz', 'Width, MHz,')}
      <td>
        <select
          aria-label={`Modulation of RF ${name}`}
          value={channel.modulation}
          onChange={(event) => onChange({ modulation: event.currentTarget.value as Modulation })}
        >
          {MODULATIONS.map(([key, words]) => (
            <option key={key} value={key}>
              {words}
            </option>
          ))}
        </select>
      </td>
      {cell('services', 'Programmes')}
      <td>
        <button type="button" class="small" aria-label={`Take RF ${name} away`} onClick={onRemove}>
          ✕
        </button>
      </td>
    </tr>
  );
}
