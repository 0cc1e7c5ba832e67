import { quantile } from '../support/quantile.ts';
import type { CaseResult } from './runCase.ts';

/** One row of the table; null where there is nothing to take a figure from. */
export interface RowSummary {
  readonly name: string;
  readonly family: string;
  readonly found: number;
  readonly of: number;
  readonly medianDelayMs: number | null;
  readonly p90DelayMs: number | null;
  readonly oracleMs: number | null;
  /** Median and 90 % quantile, endless where so many are missed, of the delay in terms of the oracle's at the same fault. */
  readonly medianRatio: number | null;
  readonly p90Ratio: number | null;
  readonly extra: number | null;
  readonly onsetErrorMs: number | null;
  readonly sizeErrorDb: number | null;
  readonly placed: number | null;
  readonly sideRight: number | null;
  readonly causeAtFirst: number | null;
  readonly causeAtEnd: number | null;
  readonly leadDays: number | null;
  readonly coverage: Coverage;
  /** Missed by fixed limits confirmed by two sweeps, and by 3 dB from baseline confirmed likewise. */
  readonly missedByLimits: number;
  readonly missedBy3Db: number;
}

/** Share of 80 % intervals that hold the truth. */
export interface Coverage {
  readonly size: Share;
  readonly onset: Share;
  readonly limit: Share;
}

export interface Share {
  readonly holds: number;
  readonly of: number;
}

export function summariseRow(cases: readonly CaseResult[]): RowSummary {
  const { row, family } = cases[0]!;
  const found = cases.filter(({ delayMs }) => delayMs !== null);
  const delays = delaysOf(cases);
  const ratios = ratiosOf(cases);
  const scores = found.flatMap(({ score }) => (score === null ? [] : [score]));
  return {
    name: row,
    family,
    found: found.length,
    of: cases.length,
    medianDelayMs: quantileOf(delays, 0.5),
    p90DelayMs: quantileOf(delays, 0.9),
    oracleMs: quantile(given(cases.map(({ oracleMs }) => oracleMs)), 0.5),
    medianRatio: quantileOf(ratios, 0.5),
    p90Ratio: quantileOf(ratios, 0.9),
    extra: mean(found.map(({ extra }) => extra)),
    onsetErrorMs: quantile(
      scores.map(({ onsetErrorMs }) => Math.abs(onsetErrorMs)),
      0.5,
    ),
    sizeErrorDb: quantile(given(scores.map(({ sizeErrorDb }) => sizeErrorDb)).map(Math.abs), 0.5),
    placed: mean(given(found.map(({ placed }) => placed))),
    sideRight: mean(found.map(({ sideRight }) => Number(sideRight))),
    causeAtFirst: mean(found.map((each) => Number(each.causeAtFirst === each.truthCause))),
    causeAtEnd: mean(found.map((each) => Number(each.causeAtEnd === each.truthCause))),
    leadDays: quantile(given(found.map(({ leadDays }) => leadDays)), 0.5),
    coverage: coverageOf(cases),
    missedByLimits: missedToday(cases, 'fixed limits, two sweeps'),
    missedBy3Db: missedToday(cases, '3 dB, two sweeps'),
  };
}

/** Delays, ms; a fault missed has an endless one, so that a deaf engine doesn't look quick. */
export function delaysOf(cases: readonly CaseResult[]): number[] {
  return cases.map(({ delayMs }) => delayMs ?? Number.POSITIVE_INFINITY);
}

/** Delay in terms of the oracle's, for each fault that the oracle finds. */
export function ratiosOf(cases: readonly CaseResult[]): number[] {
  return cases.flatMap(({ delayMs, oracleMs }) =>
    oracleMs === null || oracleMs === 0 ? [] : [(delayMs ?? Number.POSITIVE_INFINITY) / oracleMs],
  );
}

/** The `p` quantile where some values may be endless: linear between ranks, endless as soon as an endless one has a part in it. */
export function quantileOf(values: readonly number[], p: number): number | null {
  const finite = values.filter(Number.isFinite);
  const place = p * (values.length - 1);
  if (values.length > 0 && Math.ceil(place) >= finite.length) return Number.POSITIVE_INFINITY;
  return finite.length === values.length
    ? quantile(values, p)
    : quantile(finite, place / (finite.length - 1 || 1));
}

export function coverageOf(cases: readonly CaseResult[]): Coverage {
  const scores = cases.flatMap(({ score }) => (score === null ? [] : [score]));
  return {
    size: shareOf(scores.map(({ sizeInside }) => sizeInside)),
    onset: shareOf(scores.map(({ onsetInside }) => onsetInside)),
    limit: shareOf(scores.map(({ limitInside }) => limitInside)),
  };
}

export function mean(values: readonly number[]): number | null {
  return values.length === 0 ? null : values.reduce((sum, value) => sum + value, 0) / values.length;
}

function missedToday(cases: readonly CaseResult[], method: CaseResult['caughtToday'][number]): number {
  return cases.filter(({ caughtToday }) => !caughtToday.includes(method)).length;
}

function shareOf(values: readonly (boolean | null)[]): Share {
  const said = given(values);
  return { holds: said.filter((value) => value).length, of: said.length };
}

function given<T>(values: readonly (T | null)[]): T[] {
  return values.filter((value) => value !== null);
}
