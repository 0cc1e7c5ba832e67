import type { PlannedChannelInput, PlannedChannelView } from '../../../../api/schemas/plans.ts';
import type { Modulation, Service } from '../../../../ingest/plan/channelPlan.ts';

/** One channel of a plan as it is typed. */
export interface ChannelDraft {
  /** Stays the same while the line is edited and sorted. */
  readonly id: number;
  channel: string;
  centreMhz: string;
  widthMhz: string;
  modulation: Modulation;
  services: string;
}

let lastId = 0;
const nextId = () => ++lastId;

export function channelDraft(channel: PlannedChannelView): ChannelDraft {
  return {
    id: nextId(),
    channel: channel.channel,
    centreMhz: String(channel.centreMhz),
    widthMhz: String(channel.widthMhz),
    modulation: channel.modulation,
    services: formatServices(channel.services),
  };
}

/** A line to fill in, one width above the last. */
export function nextChannel(drafts: readonly ChannelDraft[]): ChannelDraft {
  const last = drafts.at(-1);
  const centreMhz = last ? Number(last.centreMhz) + Number(last.widthMhz) : 57;
  return {
    id: nextId(),
    channel: '',
    centreMhz: Number.isFinite(centreMhz) ? String(centreMhz) : '',
    widthMhz: last?.widthMhz ?? '6',
    modulation: last?.modulation ?? 'qam256',
    services: '',
  };
}

export function channelInput(draft: ChannelDraft): PlannedChannelInput {
  return {
    channel: draft.channel.trim(),
    centreMhz: Number(draft.centreMhz || 'NaN'),
    widthMhz: Number(draft.widthMhz || 'NaN'),
    modulation: draft.modulation,
    services: parseServices(draft.services),
  };
}

/** "702 News; 703 Weather": the viewer's number, then the name, programmes divided by semicolons. */
export function parseServices(text: string): Service[] {
  return text
    .split(';')
    .map((part) => part.trim())
    .filter((part) => part !== '')
    .map((part) => {
      const [number = '', ...name] = part.split(/\s+/);
      return { number, name: name.join(' ') };
    });
}

export function formatServices(services: readonly Service[]): string {
  return services.map(({ number, name }) => `${number} ${name}`.trim()).join('; ');
}

/** What a line lacks, before it is sent; null when nothing. */
export function channelFault(draft: ChannelDraft, all: readonly ChannelDraft[]): string | null {
  const name = draft.channel.trim();
  if (name === '') return 'give the RF channel a name';
  if (all.some((other) => other.id !== draft.id && other.channel.trim() === name))
    return `RF ${name} is there twice`;
  const centre = Number(draft.centreMhz || 'NaN');
  const width = Number(draft.widthMhz || 'NaN');
  if (!Number.isFinite(centre)) return `RF ${name}: the centre must be a number of MHz`;
  if (!Number.isFinite(width) || width <= 0) return `RF ${name}: the width must be a number of MHz above 0`;
  return null;
}
