import type { AlertView } from '../../../api/schemas/alerts.ts';
import { formatDaysLeft, formatShortDay, plural } from '../../format.ts';

/** Where an alert is: the building, or how many sites of which provider. */
export function placeOf({ kind, siteName, town, provider, sites }: AlertView): string {
  if (kind === 'provider-event')
    return `${plural(sites, 'site')} of ${provider ?? 'a provider no longer there'}`;
  return [siteName ?? 'a site no longer there', town].filter(Boolean).join(', ');
}

/** How long service still holds, in a word or two. */
export function leftOf({ limitDays, severity }: Pick<AlertView, 'limitDays' | 'severity'>): string {
  if (limitDays !== null) return formatDaysLeft(limitDays.p50);
  return severity === 'indeterminate' ? 'not known' : 'no limit ahead';
}

/** What the sentence says beyond the title; null when that is all. */
export function restOf({ title, sentence }: Pick<AlertView, 'title' | 'sentence'>): string | null {
  if (!sentence.startsWith(title)) return sentence;
  const rest = sentence.slice(title.length).replace(/^[;,.]\s*/, '');
  return rest === '' ? null : rest.charAt(0).toUpperCase() + rest.slice(1);
}

/** What to add to the state: until when, since when, by whom. */
export function stateDetail(alert: AlertView): string | null {
  const { state, shelvedUntil, acknowledgedBy, returnedAt, timeZone } = alert;
  if (state === 'shelved' && shelvedUntil !== null) return `until ${formatShortDay(shelvedUntil, timeZone)}`;
  if (state === 'active-acknowledged' && acknowledgedBy !== null) return `by ${acknowledgedBy}`;
  if (state === 'suppressed' && alert.partOf !== null) return 'part of a provider’s event';
  if (state === 'returned-unacknowledged' && returnedAt !== null)
    return `since ${formatShortDay(returnedAt, timeZone)}`;
  return null;
}
