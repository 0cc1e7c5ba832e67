import type { PlanVersion } from '../../ingest/plan/channelPlan.ts';
import { median } from '../../ingest/signal/median.ts';
import type { LineFit } from '../../ingest/signal/robustLine.ts';
import type { BaselineRow } from '../../ingest/store/schema.ts';
import { type BandReading, readCarriers } from '../baseline/readCarriers.ts';
import type { BreachView } from '../schemas/common.ts';
import type { TypedDraft, TypedVerdict, TypedVerdictWord } from '../schemas/typedReadings.ts';
import {
  apartDb,
  carrierOf,
  changeLine,
  differenceOf,
  type TypedReference,
  type TypedRow,
} from './typedRows.ts';
import { againstBaseline, channels, figure, noBaseline, signed } from './words.ts';

/** Two meters may differ by 2 dB (common practice, no source): less is no news to somebody with another meter. */
const CHANGED_DB = 2;
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

function judgeLevel(
  rows: readonly TypedRow[],
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
  rows: readonly TypedRow[],
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
  row: TypedRow & { place: number },
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

function wordFor(changeDb: number | null): TypedVerdictWord {
  return changeDb !== null && Math.abs(changeDb) >= CHANGED_DB ? 'changed' : 'good';
}

function mhz(value: number): string {
  return String(Math.round(value));
}

function unknown(sentence: string): Judged {
  return { verdict: 'unknown', value: '–', sentence };
}
