import type { AlertChangeView, AlertStateWord, SeverityWord } from '../api/schemas/alerts.ts';
import type { Verdict } from '../api/schemas/common.ts';
import type { TroubleView } from '../api/schemas/silence.ts';

export { findingWord, KIND_WORD, MODULATION_WORD, QUANTITY_WORD, SIDE_WORD } from '../api/tradeWords.ts';

/** Verdicts from most to least pressing, as filters show them. */
export const VERDICTS: readonly Verdict[] = ['act', 'watch', 'silent', 'no-baseline', 'steady'];

export const VERDICT_WORD: Readonly<Record<Verdict, string>> = {
  act: 'Act',
  watch: 'Watch',
  silent: 'Silent',
  'no-baseline': 'No baseline',
  steady: 'Steady',
};

/** What is wrong with the coming of sweeps. */
export const TROUBLE_WORD: Readonly<Record<TroubleView['kind'], string>> = {
  absent: 'Silent',
  frozen: 'Frozen readings',
  partial: 'Partial sweeps',
  'off-schedule': 'Off schedule',
  late: 'Late',
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
