import { useState } from 'preact/hooks';
import type { NewPlanVersion, PlanView } from '../../../../api/schemas/plans.ts';
import type { RasterName } from '../../../../ingest/store/schema.ts';
import { ChoiceField, TextField } from '../../../parts/field.tsx';
import { Failure } from '../../../parts/notice.tsx';
import { useSubmit } from '../../../useSubmit.ts';
import { ownZone, toInstant, toLocal } from '../../../zonedTime.ts';
import { ChannelEditor } from './channelEditor.tsx';
import { type ChannelDraft, channelDraft, channelFault, channelInput } from './planDraft.ts';
import { RasterProposal } from './rasterProposal.tsx';

const RASTERS: readonly (readonly [RasterName, string])[] = [
  ['STD', 'CTA-542 STD, 6 MHz'],
  ['HRC', 'CTA-542 HRC, 6 MHz'],
  ['IRC', 'CTA-542 IRC, 6 MHz'],
  ['8 MHz', '8 MHz'],
  ['own', 'a plan of one’s own'],
];

interface PlanFormProps {
  /** The plan that gets a new version; null makes a plan. */
  plan: PlanView | null;
  onSend: (version: NewPlanVersion, plan: { name: string; raster: RasterName }) => Promise<void>;
}

/** A version of a channel plan: from when, and which channels. */
export function PlanForm({ plan, onSend }: PlanFormProps) {
  const zone = ownZone();
  const [name, setName] = useState(plan?.name ?? '');
  const [raster, setRaster] = useState<RasterName>(plan?.raster ?? 'STD');
  const [from, setFrom] = useState(() => toLocal(new Date().toISOString(), zone));
  const [note, setNote] = useState('');
  const [channels, setChannels] = useState<readonly ChannelDraft[]>(() =>
    (plan?.versions[0]?.channels ?? []).map(channelDraft),
  );
  const { run, busy, error, fields } = useSubmit();
  const faults = channels.map((channel) => channelFault(channel, channels)).filter((fault) => fault !== null);

  const submit = async (event: Event) => {
    event.preventDefault();
    const effectiveFrom = toInstant(from, zone);
    if (effectiveFrom === null || faults.length > 0) return;
    await run(() => onSend({ effectiveFrom, note, channels: channels.map(channelInput) }, { name, raster }));
  };
  return (
    <form class="form" onSubmit={submit}>
      <div class="form-grid">
        {!plan && <TextField label="Name" required value={name} onValue={setName} error={fields['name']} />}
        {!plan && (
          <ChoiceField
            label="Raster"
            options={RASTERS}
            value={raster}
            onValue={(value) => setRaster(value as RasterName)}
            error={fields['raster']}
          />
        )}
        <TextField
          label={`In force from, ${zone}`}
          type="datetime-local"
          required
          value={from}
          onValue={setFrom}
          error={fields['effectiveFrom']}
          hint="When the line-up changes on the feed: past or future. A planned change then never looks like a fault."
        />
        <TextField
          label="Note"
          hint="What changes and why."
          value={note}
          onValue={setNote}
          error={fields['note']}
        />
      </div>
      {raster !== 'own' && (
        <RasterProposal
          raster={raster}
          onProposal={(proposal) => setChannels(proposal.channels.map(channelDraft))}
        />
      )}
      <ChannelEditor channels={channels} onChannels={setChannels} />
      {faults.length > 0 && <p class="field-error">◆ {faults.slice(0, 3).join('; ')}.</p>}
      {error && <Failure error={error} />}
      <FieldFaults fields={fields} channels={channels} />
      <div class="actions">
        <button type="submit" class="primary" disabled={busy || channels.length === 0 || faults.length > 0}>
          {plan ? 'Add this version' : 'Make the plan'}
        </button>
      </div>
    </form>
  );
}

/** What the server said of single channels, with the channel's name in place of its number in the list. */
function FieldFaults({
  fields,
  channels,
}: {
  fields: Readonly<Record<string, string>>;
  channels: readonly ChannelDraft[];
}) {
  const faults = Object.entries(fields).flatMap(([path, reason]) => {
    const [, index, field] = /^channels\.(\d+)\.?(.*)$/.exec(path) ?? [];
    return index === undefined ? [] : [`RF ${channels[Number(index)]?.channel ?? '?'} ${field}: ${reason}`];
  });
  if (faults.length === 0) return null;
  return (
    <ul class="field-error">
      {faults.map((fault) => (
        <li key={fault}>{fault}</li>
      ))}
    </ul>
  );
}
