import type { Finding, Metric } from '../trend/types.ts';
import type { PlacedFinding } from './placeFindings.ts';
import { channelsOf } from './sameEvent.ts';
import { dayIn, days, listed, momentIn, size, sizeRange } from './words.ts';

const DAY_MS = 86_400_000;
/** An end of an interval beyond this says no more than "late, if ever". */
const FAR_DAYS = 730;

const METRIC_WORDS: Readonly<Record<Metric, string>> = {
  level: 'Level',
  tilt: 'Tilt',
  flatness: 'Peak-to-valley about the line',
  mer: 'Worst MER or CNR margin',
};

/** What a sentence needs to know beside the finding. */
export interface Telling {
  /** IANA zone of the site. */
  readonly timeZone: string;
  readonly nowMs: number;
  /** Event time of the newest sweep at the finding's point: days to a limit count from here. */
  readonly latestMs: number;
  /** Title of the point that explains this one, where there is one. */
  readonly causeTitle: string | null;
}

/**
 * One finding as a sentence in trade words, times in the site's zone: what, how fast, since when, where, how
 * far from baseline, how long is left.
 *
 * @example "Level falling 0.09 dB a day since 12 Oct between riser amplifier and floor 3; 2.7 dB below
 * baseline (2.4 to 3.0); reaches its limit (level at least −12 dBmV) in about 19 days (14 to 27)."
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

function whatHappened(placed: PlacedFinding, telling: Telling): string[] {
  const { finding } = placed;
  const where = whereOf(placed, telling.causeTitle);
  const moment = momentIn(telling.timeZone, finding.onsetMs, telling.nowMs);
  const day = dayIn(telling.timeZone, finding.onsetMs, telling.nowMs);

  switch (finding.kind) {
    case 'outage':
      return [`No signal since ${moment} ${where}`];
    case 'channel-lost': {
      const channels = channelsOf(finding);
      const noun = channels.length === 1 ? 'Channel' : 'Channels';
      return [`${noun} ${listed(channels)} lost since ${moment} ${where}`];
    }
    case 'drift': {
      const slope = finding.slopeDbPerDay ?? 0;
      const pace = `${slope < 0 ? 'falling' : 'rising'} ${size(slope, 2)} dB a day`;
      return [`${metricWords(finding)} ${pace} since ${day} ${where}`, fromBaseline(finding)];
    }
    case 'instrument-change':
      return [
        `${metricWords(finding)} reads ${size(finding.sizeDb)} dB ${finding.sizeDb < 0 ? 'lower' : 'higher'} (${sizeRange(finding.sizeLowDb, finding.sizeHighDb)}) since another instrument took over at ${placed.pointTitle} on ${moment}`,
        'a change of meter, not of the plant',
      ];
    case 'step': {
      const moved = finding.sizeDb < 0 ? 'fell' : 'rose';
      const range = sizeRange(finding.sizeLowDb, finding.sizeHighDb);
      return [`${metricWords(finding)} ${moved} ${size(finding.sizeDb)} dB (${range}) on ${moment} ${where}`];
    }
  }
}

function fromBaseline(finding: Finding): string {
  const range = sizeRange(finding.sizeLowDb, finding.sizeHighDb);
  return `${size(finding.sizeDb)} dB ${finding.sizeDb < 0 ? 'below' : 'above'} baseline (${range})`;
}

function metricWords(finding: Finding): string {
  return finding.metric === 'channels' ? 'Channels' : METRIC_WORDS[finding.metric];
}

function whereOf(placed: PlacedFinding, causeTitle: string | null): string {
  if (placed.explainedBy !== null) {
    return `at ${placed.pointTitle}, explained by the same change at ${causeTitle ?? 'a point upstream'}`;
  }
  if (placed.side === 'provider') return `at ${placed.hop.to}, on the provider's side`;
  if (placed.side === 'unsure') return `at ${placed.hop.to}, side not sure`;
  return `between ${placed.hop.from} and ${placed.hop.to}`;
}
