import type { Severity } from '../../ingest/store/schema.ts';

/** Which alerts a rule is about; null asks nothing. */
export interface RuleAbout {
  readonly siteIds: readonly number[] | null;
  /** Events of these providers, and alerts at sites that they feed. */
  readonly providerIds: readonly number[] | null;
  readonly kind: 'site' | 'provider-event' | null;
  readonly severityAtLeast: Severity;
  readonly side: 'provider' | 'building' | 'unsure' | null;
  /** Told once fewer days than this are left. */
  readonly daysLeftUnder: number | null;
}

/** Who is told once an alert has been open and unacknowledged for `afterMin` minutes, beyond the rule's delay. */
export interface RuleStep {
  readonly afterMin: number;
  readonly targetIds: readonly number[];
}

export interface RuleTerms {
  readonly name: string;
  readonly about: RuleAbout;
  /** Minutes an alert must have been open before anybody is told. */
  readonly delayMin: number;
  /** The first at 0 minutes; each later one only while nobody has acknowledged. */
  readonly steps: readonly RuleStep[];
  /** Also tells when an alert that was told gets worse. */
  readonly tellsWorse: boolean;
  /** Also tells when an alert that was told has returned to normal. */
  readonly tellsReturn: boolean;
  /** Quiet hours don't hold its messages back. */
  readonly throughQuiet: boolean;
}

export interface Rule extends RuleTerms {
  readonly ruleId: number;
  readonly enabled: boolean;
  /** Alerts that began before this are not told as new. */
  readonly sinceMs: number;
}
