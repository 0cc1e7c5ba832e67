import { FREQ_MHZ, LEVEL_DBMV, MER_DB } from '../../ingest/contract/limits.ts';
import type { PlanVersion } from '../../ingest/plan/channelPlan.ts';
import { type LineFit, robustLine } from '../../ingest/signal/robustLine.ts';
import type { BaselineRow } from '../../ingest/store/schema.ts';
import type { BandCarrier } from '../baseline/bandCarriers.ts';
import type { LimitSet } from '../limits/limitSet.ts';
import type { TypedDraft, TypedReading } from '../schemas/typedReadings.ts';
import { typedLevelDbmv } from './typedSweep.ts';

/** What a draft is held against. */
export interface TypedReference {
  readonly plan: PlanVersion | null;
  readonly baseline: BaselineRow | null;
  readonly limitSet: LimitSet;
  /** Baseline of a frequency, by the channel of the plan where there is one. */
  readonly baselineAt: (
    freqMhz: number,
  ) => { readonly levelDbmv: number | null; readonly merDb: number | null } | null;
}

/** One figure so far from what the others say is more likely a wrong digit than a fault (common practice, no source). */
const WRONG_DIGIT_DB = 6;
/** With fewer figures, nobody knows which of them is the wrong one. */
const FEWEST_TO_DOUBT = 4;

/** One reading in a sweep's units, beside the baseline. */
export type TypedRow = Pick<
  BandCarrier,
  'freqMhz' | 'levelDbmv' | 'merDb' | 'cnrDb' | 'thenLevelDbmv' | 'thenMerDb' | 'lost'
>;

/** The reading in a sweep's units beside the baseline, and what keeps it from being one. */
export function carrierOf(
  reading: TypedReading,
  { levelUnit }: TypedDraft,
  { baselineAt }: TypedReference,
): TypedRow & { fault: string } {
  const { freqMhz, level, merDb, cnrDb, lost } = reading;
  const levelDbmv = level === null || lost ? null : typedLevelDbmv(level, levelUnit);
  const was = baselineAt(freqMhz);
  return {
    freqMhz,
    levelDbmv,
    merDb: lost ? null : merDb,
    cnrDb: lost ? null : cnrDb,
    thenLevelDbmv: was?.levelDbmv ?? null,
    thenMerDb: was?.merDb ?? null,
    lost,
    fault: faultOf(freqMhz, levelDbmv, merDb ?? cnrDb),
  };
}

function faultOf(freqMhz: number, levelDbmv: number | null, qualityDb: number | null): string {
  if (freqMhz < FREQ_MHZ.min || freqMhz > FREQ_MHZ.max) {
    return `no frequency of a channel: give ${FREQ_MHZ.min} to ${FREQ_MHZ.max} MHz`;
  }
  if (levelDbmv !== null && (levelDbmv < LEVEL_DBMV.min || levelDbmv > LEVEL_DBMV.max)) {
    return 'no meter shows such a level: look at the digits, and at the unit';
  }
  if (qualityDb !== null && (qualityDb < MER_DB.min || qualityDb > MER_DB.max)) {
    return 'no meter shows such a ratio: look at the digits';
  }
  return '';
}

/** The straight line through the changes from the baseline, over the baseline's own band; null when too few are there. */
export function changeLine(rows: readonly TypedRow[], { baseline }: TypedReference): LineFit | null {
  const band = baseline?.freq_hz ?? [];
  if (band.length === 0) return null;
  return robustLine(
    rows.map(({ freqMhz }) => freqMhz),
    rows.map(({ levelDbmv, thenLevelDbmv }) => differenceOf(levelDbmv, thenLevelDbmv)),
    { lowMhz: band[0]! / 1e6, highMhz: band.at(-1)! / 1e6 },
  );
}

/** How far a figure lies from what the others say, where that is too far to be believed at once; null elsewhere. */
export function apartDb(rows: readonly TypedRow[], change: LineFit | null): (number | null)[] {
  if (rows.filter(({ levelDbmv }) => levelDbmv !== null).length < FEWEST_TO_DOUBT) return [];
  return (change?.residualDb ?? []).map((residual) =>
    residual !== null && Math.abs(residual) >= WRONG_DIGIT_DB ? residual : null,
  );
}

/** Null where either is missing. */
export function differenceOf(now: number | null, then: number | null): number | null {
  return now === null || then === null ? null : now - then;
}
