import { count, every, momentIn } from '../diagnosis/words.ts';
import type { Window } from '../maintenance/window.ts';
import { judgePoint } from './judgePoint.ts';
import { type PointReadings, type PointTrouble, PUNCTUALITY_KINDS, type PunctualityKind } from './types.ts';
import { type AbsentPoint, type Surroundings, titlesOf, whatWentFirst } from './whatWentFirst.ts';

/** What is wrong with the coming of a site's sweeps, in words that stay true when they are kept. */
export interface SiteTrouble {
  readonly kind: PunctualityKind;
  readonly pointIds: readonly number[];
  readonly sinceMs: number;
  /** What and since when, and then what else is known; without a full stop. */
  readonly clauses: readonly string[];
  readonly doFirst: string;
}

/**
 * The troubles of a site, the gravest kind first. Absent points are one trouble, since what silences several is mostly one thing; all
 * others are told point by point.
 */
export function siteTroubles(
  points: readonly PointReadings[],
  windows: readonly Window[],
  around: Omit<Surroundings, 'heard'>,
): SiteTrouble[] {
  const found = points.flatMap((readings) =>
    judgePoint(readings, windows, around.nowMs).map((trouble) => ({ readings, trouble })),
  );
  const absent = found.filter((one): one is AbsentPoint => one.trouble.kind === 'absent');
  const silent = new Set(absent.map(({ readings }) => readings.pointId));
  const heard = points.filter(({ pointId, lastMs }) => lastMs !== null && !silent.has(pointId));
  const others = found.filter(({ trouble }) => trouble.kind !== 'absent');
  const all = [
    ...(absent.length === 0 ? [] : [absence(absent, { ...around, heard })]),
    ...others.map(({ readings, trouble }) => troubleAt(readings, trouble, around)),
  ];
  const gravity = ({ kind }: SiteTrouble) => PUNCTUALITY_KINDS.indexOf(kind);
  return all.toSorted((a, b) => gravity(a) - gravity(b) || a.sinceMs - b.sinceMs);
}

function absence(absent: readonly AbsentPoint[], around: Surroundings): SiteTrouble {
  const { clause, doFirst } = whatWentFirst(absent, around);
  const first = absent.toSorted((a, b) => a.trouble.sinceMs - b.trouble.sinceMs)[0]!;
  const { sinceMs } = first.trouble;
  const since = momentIn(around.timeZone, sinceMs, around.nowMs);
  const isAll = around.heard.length === 0 && absent.length > 1;
  const what = isAll
    ? `All ${absent.length} points silent since ${since}`
    : `No sweep from ${titlesOf(absent)} since ${since}`;
  return {
    kind: 'absent',
    pointIds: absent.map(({ readings }) => readings.pointId),
    sinceMs,
    clauses: [`${what}, due ${every(first.readings.intervalS)}`, ...(clause === null ? [] : [clause])],
    doFirst,
  };
}

function troubleAt(
  { pointId, title, intervalS, sweeps }: PointReadings,
  trouble: PointTrouble,
  { timeZone, nowMs }: Omit<Surroundings, 'heard'>,
): SiteTrouble {
  const earlier = 'orEarlier' in trouble && trouble.orEarlier ? ' or earlier' : '';
  const since = `since ${momentIn(timeZone, trouble.sinceMs, nowMs)}${earlier}`;
  const instrument = sweeps[0]?.instrument ?? 'the instrument';
  const common = { kind: trouble.kind, pointIds: [pointId], sinceMs: trouble.sinceMs };
  switch (trouble.kind) {
    case 'absent':
    case 'late':
      return {
        ...common,
        clauses: [
          `Sweep of ${title} late: due on ${momentIn(timeZone, trouble.dueMs, nowMs)}, none since ${momentIn(timeZone, trouble.sinceMs, nowMs)}`,
        ],
        doFirst: 'Nothing yet: it may still come. If it stays away, it is told as silent.',
      };
    case 'partial':
      return {
        ...common,
        clauses: [
          `Sweeps of ${title} partial ${since}: ${instrument} gives ${trouble.channels} of the usual ${trouble.usual} channels`,
        ],
        doFirst: `Look at ${instrument} first: its channel list, and a tuner or input that gives nothing. The channels left out were not looked for, so the plant is not judged by them.`,
      };
    case 'frozen':
      return {
        ...common,
        clauses: [
          `Sweeps of ${title} frozen ${since}: ${count(trouble.sweeps, 'sweep')} with exactly the same numbers, which noise makes impossible`,
        ],
        doFirst: `Restart ${instrument} first, or the program that reads it: it repeats an old reading, so nothing is known of the signal since then.`,
      };
    case 'off-schedule': {
      const often = trouble.everyS < intervalS ? 'more' : 'less';
      return {
        ...common,
        clauses: [
          `Sweeps of ${title} come far ${often} often than set ${since}: ${every(trouble.everyS)}, set to ${every(intervalS)}`,
        ],
        doFirst:
          often === 'more'
            ? `Make the schedule of ${instrument} and the interval of the point agree, and look whether two probes send for this point.`
            : `Make the schedule of ${instrument} and the interval of the point agree; if they do, sweeps are lost on the way: look at its link.`,
      };
    }
  }
}
