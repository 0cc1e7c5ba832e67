import type { ComplaintVerdict, JudgementView } from '../../../api/schemas/complaints.ts';
import { formatChange, formatMoment, plural } from '../../format.ts';

export const COMPLAINT_VERDICT_WORD: Readonly<Record<ComplaintVerdict, string>> = {
  warned: 'Warned before',
  'below-notice': 'Seen, below notice',
  'not-seen': 'Not seen',
};

/** "30 hours" or "6 days": hours up to two days. */
export function formatLead(hours: number): string {
  if (hours < 1) return 'under an hour';
  if (hours < 48) return plural(Math.round(hours), 'hour');
  return plural(Math.round(hours / 24), 'day');
}

/** What was known then, in one sentence. */
export function judgementSentence(judgement: JudgementView, timeZone: string): string {
  const { verdict, by, leadHours, deviationDb, read } = judgement;
  const source = by && (by.source === 'alert' ? `the alert “${by.title}”` : `a finding, ${by.title}`);
  if (verdict === 'warned') {
    return `${capital(formatLead(leadHours ?? 0))} before, by ${source}, told ${formatMoment(by!.toldAt, timeZone)}.`;
  }
  if (verdict === 'below-notice') {
    if (source) return `It had begun by then; ${source}, came only ${formatMoment(by!.toldAt, timeZone)}.`;
    return `Level or tilt was ${formatChange(deviationDb)} dB off the baseline: too little for a finding.`;
  }
  return read
    ? 'Level and tilt in the six hours before were within 1 dB of the baseline.'
    : 'Nothing there was compared with a baseline in the six hours before.';
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
