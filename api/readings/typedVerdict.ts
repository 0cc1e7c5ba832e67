import { FREQ_MHZ, LEVEL_DBMV, MER_DB } from '../../ingest/contract/limits.ts';
import type { PlanVersion } from '../../ingest/plan/channelPlan.ts';
import { median } from '../../ingest/signal/median.ts';
import { type LineFit, robustLine } from '../../ingest/signal/robustLine.ts';
import type { BaselineRow } from '../../ingest/store/schema.ts';
import type { BandCarrier } from '../baseline/bandCarriers.ts';
import { type BandReading, readCarriers } from '../baseline/readCarriers.ts';
import type { LimitSet } from '../limits/limitSet.ts';
import type { BreachView } from '../schemas/common.ts';
import type { TypedDraft, TypedReading, TypedVerdict, TypedVerdictWord } from '../schemas/typedReadings.ts';
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

/** Two meters may differ by 2 dB (common practice, no source): less is no news to somebody with another meter. */
const CHANGED_DB = 2;
/** One figure so far from what the others say is more likely a wrong digit than a fault (common practice, no source). */
const WRONG_DIGIT_DB = 6;
/** With fewer figures, nobody knows which of them is the wrong one. */
const FEWEST_TO_DOUBT = 4;
/** A tilt needs channels over this share of the band. */
const TILT_SHARE = 0.5;

const QUANTITY: Readonly<Record<string, string>> = {
  level: 'level',
  mer: 'MER',
  cnr: 'CNR',
  adjacent: 'difference to the neighbour',
};

type Judged = TypedVerdict['level'];

/** What the figures of a draft say, against limits and baseline, as far as they are typed. */
export function typedVerdict(draft: TypedDraft, reference: TypedReference): TypedVerdict {
  const rows = draft.readings
    .map((reading, place) => ({ place, ...carrierOf(reading, draft, reference) }))
    .filter(({ fault }) => fault === '')
    .toSorted((a, b) => a.freqMhz - b.freqMhz)
    .filter(({ freqMhz }, i, all) => freqMhz !== all[i - 1]?.freqMhz);
  const reading = readCarriers(rows, reference.plan, reference.limitSet);
  const change = changeLine(rows, reference);
  const merChangeDb = median(rows.map(({ merDb, thenMerDb }) => differenceOf(merDb, thenMerDb)));

  const apart = apartDb(rows, change);
  const judged = new Map(rows.map((row, i) => [row.place, judgeRow(row, reading, apart[i] ?? null)]));
  return {
    level: judgeLevel(rows, apart, reading.breaches, reference.baseline !== null),
    tilt: judgeTilt(rows, reading, change, reference),
    mer: judgeMer(reading, merChangeDb),
    readings: draft.readings.map((one, place) => {
      const { fault } = carrierOf(one, draft, reference);
      if (fault !== '') return { verdict: 'unknown' as const, hint: fault };
      return judged.get(place) ?? { verdict: 'unknown' as const, hint: 'this channel stands above already' };
    }),
  };
}

type Row = Pick<
  BandCarrier,
  'freqMhz' | 'levelDbmv' | 'merDb' | 'cnrDb' | 'thenLevelDbmv' | 'thenMerDb' | 'lost'
>;

/** The reading in a sweep's units beside the baseline, and what keeps it from being one. */
function carrierOf(
  reading: TypedReading,
  { levelUnit }: TypedDraft,
  { baselineAt }: TypedReference,
): Row & { fault: string } {
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
function changeLine(rows: readonly Row[], { baseline }: TypedReference): LineFit | null {
  const band = baseline?.freq_hz ?? [];
  if (band.length === 0) return null;
  return robustLine(
    rows.map(({ freqMhz }) => freqMhz),
    rows.map(({ levelDbmv, thenLevelDbmv }) => differenceOf(levelDbmv, thenLevelDbmv)),
    { lowMhz: band[0]! / 1e6, highMhz: band.at(-1)! / 1e6 },
  );
}

/** How far a figure lies from what the others say, where that is too far to be believed at once; null elsewhere. */
function apartDb(rows: readonly Row[], change: LineFit | null): (number | null)[] {
  if (rows.filter(({ levelDbmv }) => levelDbmv !== null).length < FEWEST_TO_DOUBT) return [];
  return (change?.residualDb ?? []).map((residual) =>
    residual !== null && Math.abs(residual) >= WRONG_DIGIT_DB ? residual : null,
  );
}

function judgeLevel(
  rows: readonly Row[],
  apart: readonly (number | null)[],
  breaches: readonly BreachView[],
  hasBaseline: boolean,
): Judged {
  const lost = rows.filter((row) => row.lost).length;
  const measured = rows.filter(({ levelDbmv }) => levelDbmv !== null).length;
  if (measured === 0 && lost === 0) return unknown('type a level, and it is judged at once');
  const outside = breaches.filter(({ quantity }) => quantity === 'level');
  const changeDb = median(rows.map(({ levelDbmv, thenLevelDbmv }) => differenceOf(levelDbmv, thenLevelDbmv)));
  const value = changeDb === null ? `${measured} of ${rows.length}` : signed(changeDb);
  const against =
    changeDb === null
      ? noBaseline(hasBaseline)
      : `${againstBaseline(changeDb)} as the median of the channels`;
  if (lost > 0) return { verdict: 'outside', value, sentence: `${channels(lost)} not found; ${against}` };
  if (outside.length > 0) {
    return { verdict: 'outside', value, sentence: `${channels(outside.length)} outside limits; ${against}` };
  }
  const doubtful = apart.filter((db) => db !== null).length;
  if (doubtful > 0) {
    return { verdict: 'changed', value, sentence: `${channels(doubtful)} far from the others; ${against}` };
  }
  return { verdict: wordFor(changeDb), value, sentence: `inside limits; ${against}` };
}

function judgeTilt(
  rows: readonly Row[],
  { line, breaches }: BandReading,
  change: LineFit | null,
  { baseline, plan }: TypedReference,
): Judged {
  const measured = rows.filter(({ levelDbmv }) => levelDbmv !== null);
  const reach = (measured.at(-1)?.freqMhz ?? 0) - (measured[0]?.freqMhz ?? 0);
  if (line === null) return unknown('needs three levels, at the bottom, the middle and the top of the band');
  if (reach < TILT_SHARE * bandMhz(baseline, plan)) return unknown('needs levels from both ends of the band');
  const value = signed(line.tiltDb);
  const over = `from ${mhz(line.lowMhz)} to ${mhz(line.highMhz)} MHz`;
  const breach = breaches.find(({ quantity }) => quantity === 'tilt');
  if (breach !== undefined) return { verdict: 'outside', value, sentence: `${over}; limit ${breach.limit}` };
  if (change === null)
    return { verdict: 'unknown', value, sentence: `${over}; ${noBaseline(baseline !== null)}` };
  return {
    verdict: wordFor(change.tiltDb),
    value,
    sentence: `${over}; ${againstBaseline(change.tiltDb)} over the whole band`,
  };
}

function judgeMer({ carriers, worst, breaches }: BandReading, changeDb: number | null): Judged {
  const typed = carriers.some(({ merDb, cnrDb }) => merDb !== null || cnrDb !== null);
  if (!typed) return unknown('type MER (CNR on analogue channels), and it is judged at once');
  const against =
    changeDb === null
      ? 'nothing in the baseline to compare with'
      : `${againstBaseline(changeDb)} as the median of the channels`;
  if (worst === null)
    return {
      verdict: 'unknown',
      value: changeDb === null ? '–' : signed(changeDb),
      sentence: `no limit to hold it against; ${against}`,
    };
  const value = `${figure(worst.marginDb)} dB margin`;
  const where = worst.channel === null ? '' : ` on channel ${worst.channel}`;
  const outside =
    breaches.some(({ quantity }) => quantity === 'mer' || quantity === 'cnr') || worst.marginDb < 0;
  if (outside) return { verdict: 'outside', value, sentence: `too low${where}; ${against}` };
  const changed = changeDb !== null && changeDb <= -CHANGED_DB;
  return {
    verdict: changed ? 'changed' : 'good',
    value,
    sentence: `the least${where === '' ? '' : `,${where}`}; ${against}`,
  };
}

function judgeRow(
  row: Row & { place: number },
  reading: BandReading,
  apartDb: number | null,
): TypedVerdict['readings'][number] {
  if (row.lost) return { verdict: 'outside', hint: 'looked for and not found' };
  if (row.levelDbmv === null && row.merDb === null && row.cnrDb === null)
    return { verdict: 'unknown', hint: '' };
  const changeDb = differenceOf(row.levelDbmv, row.thenLevelDbmv);
  const breach = reading.breaches.find(({ freqMhz }) => freqMhz === row.freqMhz);
  if (apartDb !== null) {
    return {
      verdict: breach === undefined ? 'changed' : 'outside',
      hint: `${signed(apartDb)} beside what the others say: look at the digits, then measure again`,
    };
  }
  if (breach !== undefined) {
    return {
      verdict: 'outside',
      hint: `${QUANTITY[breach.quantity] ?? breach.quantity} must be ${breach.limit}`,
    };
  }
  if (changeDb !== null && Math.abs(changeDb) >= CHANGED_DB)
    return { verdict: 'changed', hint: againstBaseline(changeDb) };
  return { verdict: changeDb === null && row.levelDbmv !== null ? 'unknown' : 'good', hint: '' };
}

function bandMhz(baseline: BaselineRow | null, plan: PlanVersion | null): number {
  const band =
    baseline?.freq_hz.map((hz) => hz / 1e6) ?? plan?.channels.map(({ centreMhz }) => centreMhz) ?? [];
  return band.length === 0 ? 0 : band.at(-1)! - band[0]!;
}

function differenceOf(now: number | null, then: number | null): number | null {
  return now === null || then === null ? null : now - then;
}

function wordFor(changeDb: number | null): TypedVerdictWord {
  return changeDb !== null && Math.abs(changeDb) >= CHANGED_DB ? 'changed' : 'good';
}

function againstBaseline(changeDb: number): string {
  const size = Math.abs(changeDb).toFixed(1);
  if (size === '0.0') return 'as in the baseline';
  return `${size} dB ${changeDb < 0 ? 'below' : 'above'} the baseline`;
}

function noBaseline(hasBaseline: boolean): string {
  return hasBaseline ? 'the baseline holds none of these channels' : 'no baseline to compare with';
}

function channels(count: number): string {
  return `${count} channel${count === 1 ? '' : 's'}`;
}

function figure(value: number): string {
  const text = Math.abs(value).toFixed(1);
  return value < 0 && text !== '0.0' ? `−${text}` : text;
}

function signed(db: number): string {
  return `${db >= 0.05 ? '+' : ''}${figure(db)} dB`;
}

function mhz(value: number): string {
  return String(Math.round(value));
}

function unknown(sentence: string): Judged {
  return { verdict: 'unknown', value: '–', sentence };
}
