import type { PointKind } from '../../../ingest/store/schema.ts';

/** Probable causes of a finding. */
export const CAUSE_IDS = [
  'passive-changed',
  'passive-failing',
  'cable-changed',
  'cable-temperature',
  'water-in-cable',
  'corroded-contact',
  'loose-connector',
  'open-line',
  'suck-out',
  'cable-echo',
  'ingress',
  'amplifier-gain',
  'amplifier-adjusted',
  'amplifier-noise',
  'amplifier-dead',
  'hidden-loss',
  'power-off',
  'modulator',
  'channel-blocked',
  'provider-feed',
  'instrument',
  'not-sure',
] as const;
export type CauseId = (typeof CAUSE_IDS)[number];

/** What can hurt somebody, or others, in work on a cause. */
export const CAUTION_IDS = ['bonding', 'line-power', 'mains', 'heights', 'fibre', 'leakage'] as const;
export type CautionId = (typeof CAUTION_IDS)[number];

export interface ProbableCause {
  readonly cause: CauseId;
  readonly title: string;
  /** 0 to 1. Those of one finding add up to 1 at most. */
  readonly confidence: number;
  /** What speaks for it, in sentences with the numbers. */
  readonly evidence: readonly string[];
  /** What to look at or measure, first things first. */
  readonly check: readonly string[];
  readonly bring: readonly string[];
  readonly cautions: readonly CautionId[];
}

/** What the set-up and the fleet tell of the hop in which a finding begins. */
export interface CausePlace {
  /** Kind of the point that ends the hop. */
  readonly endsAt: PointKind;
  /** Kind of the point that it starts at; null at the handoff. */
  readonly startsAt: PointKind | null;
  readonly isHandoff: boolean;
  /** What lies in the hop, in the installer's words; empty when nobody said. */
  readonly hopNote: string;
  /** Gear in the hop holds its own output level and tilt. */
  readonly correctsItself: boolean;
  /** Sweeps carry the air temperature there, so that its effect has been taken out. */
  readonly ambientKnown: boolean;
  /** Other sites of the same provider that changed in the same way within hours; 0 also when that isn't known. */
  readonly otherSites: number;
}
