import type { Severity } from '../../ingest/store/schema.ts';

/** What a rule needs to know of an alert as it stands now. */
export interface AlertFact {
  readonly alertId: number;
  readonly kind: 'site' | 'provider-event';
  readonly siteId: number | null;
  readonly providerId: number | null;
  readonly severity: Severity;
  readonly side: string | null;
  /** Median days until a limit is reached; null where nothing is forecast. */
  readonly daysLeft: number | null;
}

/** One line of an alert's history. `severity` and `state` are what held after it; null where it says nothing of them. */
export interface ChangeFact {
  readonly changeId: number;
  readonly atMs: number;
  readonly kind: string;
  readonly byWhom: string;
  readonly severity: Severity | null;
  readonly state: string | null;
}

/** An alert with its history, oldest first. */
export interface AlertStory {
  readonly alert: AlertFact;
  readonly changes: readonly ChangeFact[];
}

const RANK: Readonly<Record<Severity, number>> = {
  critical: 4,
  major: 3,
  minor: 2,
  warning: 1,
  indeterminate: 1,
};

/** Higher is worse; an indeterminate severity is told wherever warnings are. */
export function severityRank(severity: Severity): number {
  return RANK[severity];
}
