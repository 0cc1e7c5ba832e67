import type { Modulation } from '../ingest/plan/channelPlan.ts';
import type { PointKind } from '../ingest/store/schema.ts';
import type { BreachView, Side } from './schemas/common.ts';

/** What screens and reports call things; both read them here. */
export const SIDE_WORD: Readonly<Record<Side, string>> = {
  provider: 'Provider',
  building: 'Building',
  unsure: 'Not sure',
};

export const KIND_WORD: Readonly<Record<PointKind, string>> = {
  handoff: 'Handoff',
  'gear-input': 'Gear input',
  'gear-output': 'Gear output',
  amplifier: 'Amplifier',
  splitter: 'Splitter',
  outlet: 'Outlet',
};

/** What a limit, or a reading outside one, speaks of. */
export const QUANTITY_WORD: Readonly<Record<BreachView['quantity'], string>> = {
  level: 'Level of a channel',
  mer: 'MER of a channel',
  cnr: 'CNR of a channel',
  adjacent: 'Difference between neighbours',
  spread: 'Difference between any two channels',
  tilt: 'Tilt',
  flatness: 'Flatness, peak to valley',
  'stability-1h': 'Change of level within one hour',
  'stability-24h': 'Change of level within 24 hours',
  'variation-6-months': 'Change of level within six months',
  presence: 'Presence of a channel',
};

export const MODULATION_WORD: Readonly<Record<Modulation, string>> = {
  analogue: 'Analogue',
  qam64: '64-QAM',
  qam256: '256-QAM',
  '8vsb': '8-VSB',
  ofdm: 'OFDM',
};

/** What findings are called; an unknown kind keeps its own name. */
export function findingWord(kind: string, metric: string): string {
  if (kind === 'step') return `${METRIC_WORD[metric] ?? metric} step`;
  if (kind === 'drift') return `${METRIC_WORD[metric] ?? metric} drift`;
  if (kind === 'channel-lost') return 'Channel lost';
  const words = kind.replaceAll('-', ' ');
  return words.charAt(0).toUpperCase() + words.slice(1);
}

const METRIC_WORD: Readonly<Record<string, string>> = {
  level: 'Level',
  tilt: 'Tilt',
  flatness: 'Flatness',
  mer: 'MER',
};
