import type { AlertChangeView, AlertStateWord, SeverityWord } from '../api/schemas/alerts.ts';
import type { BreachView, Side, Verdict } from '../api/schemas/common.ts';
import type { TroubleView } from '../api/schemas/silence.ts';
import type { Modulation } from '../ingest/plan/channelPlan.ts';
import type { PointKind } from '../ingest/store/schema.ts';

/** Verdicts from most to least pressing, as filters show them. */
export const VERDICTS: readonly Verdict[] = ['act', 'watch', 'silent', 'no-baseline', 'steady'];

export const VERDICT_WORD: Readonly<Record<Verdict, string>> = {
  act: 'Act',
  watch: 'Watch',
  silent: 'Silent',
  'no-baseline': 'No baseline',
  steady: 'Steady',
};

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

/** What is wrong with the coming of sweeps. */
export const TROUBLE_WORD: Readonly<Record<TroubleView['kind'], string>> = {
  absent: 'Silent',
  frozen: 'Frozen readings',
  partial: 'Partial sweeps',
  'off-schedule': 'Off schedule',
  late: 'Late',
};

/** What findings are called on screen; an unknown kind keeps its own name. */
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

/** Severities in the words of ITU-T X.733, gravest first. */
export const SEVERITY_WORD: Readonly<Record<SeverityWord, string>> = {
  critical: 'Critical',
  major: 'Major',
  minor: 'Minor',
  warning: 'Warning',
  indeterminate: 'Indeterminate',
};

/** States of an alert in the words of ISA-18.2. */
export const ALERT_STATE_WORD: Readonly<Record<AlertStateWord, string>> = {
  'active-unacknowledged': 'Active, unacknowledged',
  'active-acknowledged': 'Active, acknowledged',
  'returned-unacknowledged': 'Returned to normal, unacknowledged',
  shelved: 'Shelved',
  suppressed: 'Suppressed by design',
  'out-of-service': 'Out of service',
  normal: 'Normal',
};

/** What was done to an alert, as its record tells it. */
export const ALERT_CHANGE_WORD: Readonly<Record<AlertChangeView['kind'], string>> = {
  raised: 'Raised',
  severity: 'Severity changed',
  acknowledged: 'Acknowledged',
  returned: 'Returned to normal',
  back: 'Back again',
  shelved: 'Shelved',
  unshelved: 'Taken off the shelf',
  suppressed: 'Suppressed by design',
  unsuppressed: 'No longer suppressed',
  'out-of-service': 'Taken out of service',
  'in-service': 'Returned to service',
  joined: 'Became part of a provider’s event',
  note: 'Note',
  closed: 'Closed',
};
