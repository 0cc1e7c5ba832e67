import type { Modulation } from '../../ingest/plan/channelPlan.ts';
import type { PointKind } from '../../ingest/store/schema.ts';
import type { Limit } from '../limits/limitSet.ts';
import type { BaselineVersionView } from '../schemas/baseline.ts';
import type { BreachView, FindingView } from '../schemas/common.ts';
import type { BandView } from '../schemas/site.ts';
import type { ReportKind } from './reportKind.ts';

/** Goes up when the same data would be put together otherwise, so that hashes of different makes never meet by chance. */
export const REPORT_VERSION = 1;

/** The parts that a report is made of; each has a hash of its own. */
export const PARTS = [
  'setUp',
  'agreed',
  'baselines',
  'readings',
  'history',
  'findings',
  'instruments',
] as const;
export type Part = (typeof PARTS)[number];

/** All that a report says, as plain JSON. Times are ISO 8601 in UTC. */
export interface ReportData {
  readonly version: typeof REPORT_VERSION;
  readonly kind: ReportKind;
  readonly siteId: number;
  readonly from: string;
  readonly to: string;
  readonly setUp: SetUpPart;
  readonly agreed: readonly AgreedLimits[];
  readonly baselines: readonly PointBaseline[];
  readonly readings: readonly PointReadings[];
  readonly history: readonly PointHistory[];
  readonly findings: readonly FindingView[];
  readonly instruments: readonly InstrumentUse[];
}

export interface SetUpPart {
  readonly site: string;
  readonly address: string;
  readonly timeZone: string;
  readonly outlets: number;
  readonly provider: string | null;
  readonly plan: {
    readonly name: string;
    readonly version: number;
    readonly effectiveFrom: string;
    readonly channels: number;
  } | null;
  /** In tree order from the handoff down. */
  readonly points: readonly PointSetUp[];
}

export interface PointSetUp {
  readonly pointId: number;
  readonly title: string;
  /** What sweeps call it. */
  readonly name: string;
  readonly kind: PointKind;
  readonly fedBy: string | null;
  readonly hopNote: string;
  readonly outlets: number;
  readonly intervalS: number;
}

/** What one point is held to, and who decided so. */
export interface AgreedLimits {
  readonly pointId: number;
  readonly setName: string;
  readonly why: string;
  readonly limits: readonly Limit[];
}

/** The version in force at the end of the period; null when none was. */
export interface PointBaseline {
  readonly pointId: number;
  readonly baseline: BaselineVersionView | null;
}

/** Then and now at one point, channel by channel. */
export interface PointReadings {
  readonly pointId: number;
  /** The sweeps whose medians are "now"; null when the period holds none. */
  readonly now: {
    readonly from: string;
    readonly to: string;
    readonly sweeps: number;
    readonly instruments: readonly string[];
    readonly levelDbmv: number | null;
    readonly tiltDb: number | null;
    readonly flatnessDb: number | null;
  } | null;
  readonly thenLine: BandView['thenLine'];
  readonly nowLine: BandView['nowLine'];
  readonly channels: readonly ChannelReading[];
  readonly breaches: readonly BreachView[];
  /** Channels of the plan that no sweep of "now" looked for. */
  readonly notLookedFor: readonly string[];
}

export interface ChannelReading {
  readonly freqMhz: number;
  readonly channel: string | null;
  readonly modulation: Modulation | null;
  readonly standing: BandView['channels'][number]['standing'];
  readonly lost: boolean;
  readonly thenLevelDbmv: number | null;
  readonly thenSpreadDb: number | null;
  readonly nowLevelDbmv: number | null;
  readonly nowSpreadDb: number | null;
  readonly deviationDb: number | null;
  readonly levelMinDbmv: number | null;
  readonly levelMaxDbmv: number | null;
  /** Distance to the nearer limit; negative outside. */
  readonly levelMarginDb: number | null;
  /** MER, or CNR of an analogue channel. */
  readonly thenMerDb: number | null;
  readonly nowMerDb: number | null;
  readonly merLimitDb: number | null;
  readonly merMarginDb: number | null;
}

/** A point over the period; columns run parallel to `times`, medians over `stepHours`. */
export interface PointHistory {
  readonly pointId: number;
  readonly stepHours: number;
  /** Start of each step. */
  readonly times: readonly string[];
  readonly levelDbmv: readonly (number | null)[];
  readonly tiltDb: readonly (number | null)[];
  readonly merMarginDb: readonly (number | null)[];
  readonly sweeps: number;
  /** As many as the point's interval lets expect. */
  readonly sweepsDue: number;
  readonly levelWindow: { readonly min: number | null; readonly max: number | null };
  readonly tiltWindow: { readonly min: number | null; readonly max: number | null };
}

/** An instrument that read at one point within the period or for its baseline. */
export interface InstrumentUse {
  readonly pointId: number;
  readonly instrument: string;
  readonly sweeps: number;
  readonly firstAt: string;
  readonly lastAt: string;
  /** The newest by the end of the period; null for none. */
  readonly calibration: Calibration | null;
}

export interface Calibration {
  readonly calibratedAt: string;
  readonly dueAt: string | null;
  /** Of a level reading, ± dB. */
  readonly uncertaintyDb: number | null;
  readonly certificate: string;
}
