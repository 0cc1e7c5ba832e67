import type { Finding } from '../trend/types.ts';
import type { PlacedFinding } from './placedFinding.ts';
import { type Calendar, whatHappened } from './whatHappened.ts';
import { dayIn, days, momentIn } from './words.ts';

const DAY_MS = 86_400_000;
/** An end of an interval beyond this says no more than "late, if ever". */
const FAR_DAYS = 730;

/** What a sentence needs to know beside the finding. */
export interface Telling extends Calendar {
  /** Event time of the newest sweep at the finding's point: days to a limit count from here. */
  readonly latestMs: number;
}

/**
 * One finding as a sentence in trade words, times in the site's zone: what, how fast, since when, where, how
 * large so far, how long is left.
 *
 * @example "Level falling 0.09 dB a day since 12 Oct between riser amplifier and floor 3; 2.7 dB lower
 * so far (2.4 to 3.0); reaches its limit (level at least −12 dBmV) in about 19 days (14 to 27)."
 */
export function findingSentence(placed: PlacedFinding, telling: Telling): string {
  const clauses = [...findingClauses(placed, telling), ...limitClause(placed, telling, inDays)];
  return `${clauses.join('; ')}.`;
}

/** The same clauses with the date of the limit instead of days left, so that they stay true when they are kept. */
export function lastingClauses(placed: PlacedFinding, telling: Telling): string[] {
  return [...findingClauses(placed, telling), ...limitClause(placed, telling, byDate)];
}

type DaysLeft = NonNullable<Finding['daysToLimit']>;

function limitClause(
  placed: PlacedFinding,
  telling: Telling,
  when: (left: DaysLeft, telling: Telling) => string,
): string[] {
  const left = daysLeft(placed.finding, telling);
  if (left === null) return [];
  const limit = (placed.finding.limitName ?? '').replaceAll(/-(?=\d)/g, '−');
  return left.p90 === 0
    ? [`past its limit (${limit})`]
    : [`reaches its limit (${limit}) ${when(left, telling)}`];
}

/** "in about 19 days (14 to 27)". */
function inDays({ p10, p50, p90 }: DaysLeft): string {
  const range = p90 > FAR_DAYS ? `${Math.round(p10)} or more` : `${Math.round(p10)} to ${Math.round(p90)}`;
  return `in ${p50 < 1 ? '' : 'about '}${days(p50)} (${range})`;
}

/** "about 14 Dec (9 Dec to 22 Dec)". */
function byDate({ p10, p50, p90 }: DaysLeft, { timeZone, nowMs }: Telling): string {
  const [low, middle, high] = [p10, p50, p90].map((left) => dayIn(timeZone, nowMs + left * DAY_MS, nowMs));
  if (p90 > FAR_DAYS) return `about ${middle} (${low} or later)`;
  return low === high ? `about ${middle}` : `about ${middle} (${low} to ${high})`;
}

/** Days from now until the finding's limit, 10, 50 and 90 %; null when the finding names none or has ended. */
export function daysLeft(
  finding: Finding,
  telling: Pick<Telling, 'nowMs' | 'latestMs'>,
): { readonly p10: number; readonly p50: number; readonly p90: number } | null {
  if (finding.daysToLimit === null || finding.limitName === null || finding.closedMs !== null) return null;
  const passed = Math.max(0, telling.nowMs - telling.latestMs) / DAY_MS;
  const { p10, p50, p90 } = finding.daysToLimit;
  return {
    p10: Math.max(0, p10 - passed),
    p50: Math.max(0, p50 - passed),
    p90: Math.max(0, p90 - passed),
  };
}

function findingClauses(placed: PlacedFinding, telling: Telling): string[] {
  const { finding } = placed;
  const ended =
    finding.closedMs === null ? [] : [`ended ${momentIn(telling.timeZone, finding.closedMs, telling.nowMs)}`];
  return [...whatHappened(placed, telling), ...ended];
}
