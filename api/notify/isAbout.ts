import type { Severity } from '../../ingest/store/schema.ts';
import { type AlertFact, severityRank } from './alertFact.ts';
import type { RuleAbout } from './rule.ts';

/** Whether a rule is about an alert while it has `severity`. Days left are judged elsewhere: they change without a line in the history. */
export function isAbout(about: RuleAbout, alert: AlertFact, severity: Severity): boolean {
  return (
    severityRank(severity) >= severityRank(about.severityAtLeast) &&
    (about.kind === null || about.kind === alert.kind) &&
    (about.side === null || about.side === alert.side) &&
    isAmong(about.siteIds, alert.siteId) &&
    isAmong(about.providerIds, alert.providerId)
  );
}

/** Whether fewer days are left than the rule asks for; true where it asks nothing. */
export function isNearEnough(about: RuleAbout, alert: AlertFact): boolean {
  return about.daysLeftUnder === null || (alert.daysLeft !== null && alert.daysLeft < about.daysLeftUnder);
}

function isAmong(wanted: readonly number[] | null, id: number | null): boolean {
  return wanted === null || (id !== null && wanted.includes(id));
}
