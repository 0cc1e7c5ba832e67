import type { AlertFact, AlertStory, ChangeFact } from '../../../api/notify/alertFact.ts';
import type { Rule } from '../../../api/notify/rule.ts';
import type { TellingContext } from '../../../api/notify/tellingsOf.ts';

/** Thursday 2026-03-05, 12:00 in Chicago. */
export const NOON_MS = Date.parse('2026-03-05T18:00:00Z');
export const MINUTE_MS = 60_000;
export const HOUR_MS = 60 * MINUTE_MS;

export const ROSA = 1;
export const SAM = 2;

/** Tells Rosa at once of every alert, and Sam after half an hour. */
export function aRule(changes: Partial<Rule> = {}): Rule {
  return {
    ruleId: 1,
    name: 'everything',
    about: {
      siteIds: null,
      providerIds: null,
      kind: null,
      severityAtLeast: 'warning',
      side: null,
      daysLeftUnder: null,
    },
    delayMin: 0,
    steps: [
      { afterMin: 0, targetIds: [ROSA] },
      { afterMin: 30, targetIds: [SAM] },
    ],
    tellsWorse: true,
    tellsReturn: true,
    throughQuiet: false,
    enabled: true,
    sinceMs: 0,
    ...changes,
  };
}

export type Line = readonly [minute: number, kind: string, more?: Partial<ChangeFact>];

/** A history whose minutes count from {@link NOON_MS}. */
export function aStory(lines: readonly Line[], alert: Partial<AlertFact> = {}): AlertStory {
  const alertId = alert.alertId ?? 1;
  const changes = lines.map(
    ([minute, kind, more], index): ChangeFact => ({
      changeId: 100 * alertId + index,
      atMs: NOON_MS + minute * MINUTE_MS,
      kind,
      byWhom: 'the engine',
      severity: kind === 'raised' ? 'major' : null,
      state: null,
      ...more,
    }),
  );
  return {
    alert: {
      alertId,
      kind: 'site',
      siteId: 7,
      providerId: 3,
      severity: 'major',
      side: 'building',
      daysLeft: 9,
      ...alert,
    },
    changes,
  };
}

export function context(untilMin: number, changes: Partial<TellingContext> = {}): TellingContext {
  return { untilMs: NOON_MS + untilMin * MINUTE_MS, made: new Set(), nearFromMs: 0, ...changes };
}
