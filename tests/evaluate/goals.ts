import { f1, macroF1 } from './confusion.ts';
import type { Evaluation } from './evaluate.ts';
import { poissonInterval } from './poissonInterval.ts';
import type { CaseResult } from './runCase.ts';
import { coverageOf, delaysOf, mean, quantileOf, ratiosOf, type Share } from './summarise.ts';

/** A figure to reach and what was reached; `met` is null where the run says nothing of it. */
export interface Goal {
  readonly name: string;
  readonly wanted: string;
  readonly reached: string;
  readonly met: boolean | null;
}

const MINUTE_MS = 60_000;
const WORTHWHILE_LEAD_DAYS = 14;
/** Faults that cross a limit sooner don't leave time to be found two weeks ahead. */
const LEAVES_TIME_DAYS = 28;
/** Rows that aren't part of the share of faults missed: they have goals of their own. */
const APART = ['hidden', 'two'];

/** The figures that the engine is to reach, held against an evaluation. */
export function goalsOf({ cases, quiet }: Evaluation): Goal[] {
  const family = (...names: string[]) => cases.filter((each) => names.includes(each.family));
  const named = (begin: string) => cases.filter(({ row }) => row.startsWith(begin));
  const ordinary = cases.filter((each) => !APART.includes(each.family));
  const stepsFrom2 = [2, 4].flatMap((db) => [...named(`level step ${db}`), ...named(`tilt step ${db}`)]);
  const causes = cases
    .filter((each) => each.family !== 'two')
    .map((each) => ({ truth: each.truthCause, told: each.causeAtEnd }));
  const found = cases.filter(({ delayMs }) => delayMs !== null);

  return [
    falseAlerts(quiet),
    atMost('faults missed, %', 1, percent(ordinary.map(({ delayMs }) => delayMs === null))),
    ...delays('step of 1 dB', [...named('level step 1'), ...named('tilt step 1')], 40),
    ...delays('step of 2 dB and more', stepsFrom2, 22),
    ...delays('lost channel or outage', family('loss'), 12),
    ...ratios('drift', family('drift'), 2.5, 4),
    ...ratios('tilt growth', family('tilt'), 3, 5),
    ...ratios('MER fall', family('mer'), 3, null),
    ...ratios('notch', family('notch'), 3, 6),
    atMost('ripple, median delay, min', 45, medianMinutes(family('echo'))),
    atMost('alerts beyond the first', 0.5, mean(found.map(({ extra }) => extra))),
    atLeast('loose connector, F1', 0.8, looseF1(causes)),
    atLeast(
      'hidden behind gear, found, %',
      80,
      percent(family('hidden').map(({ delayMs }) => delayMs !== null)),
    ),
    atLeast(
      'two faults, rightly placed, %',
      80,
      hundredfold(mean(family('two').map(({ placed }) => placed ?? 0))),
    ),
    atLeast('right hop, %', 96, hundredfold(mean(notTwo(found).map(({ placed }) => placed ?? 0)))),
    atLeast('right side, %', 98, percent(notTwo(found).map(({ sideRight }) => sideRight === true))),
    atLeast('cause, macro F1', 0.92, macroF1(causes)),
    between('80 % interval of the time to the limit holds, %', coverageOf(cases).limit),
    between('80 % interval of the onset holds, %', coverageOf(cases).onset),
    between('80 % interval of the size holds, %', coverageOf(cases).size),
    leads(cases),
  ];
}

function falseAlerts(quiet: Evaluation['quiet']): Goal {
  const years = quiet.reduce((sum, each) => sum + each.years, 0);
  const count = quiet.reduce((sum, { alerts }) => sum + alerts.length, 0);
  const [low, high] = poissonInterval(count).map((value) => value / years) as [number, number];
  const rate = years === 0 ? null : count / years;
  return {
    name: 'false alerts a site-year',
    wanted: 'at most 0.3',
    reached: rate === null ? '–' : `${rate.toFixed(2)} (${low.toFixed(2)} to ${high.toFixed(2)})`,
    met: rate === null ? null : rate <= 0.3,
  };
}

function delays(name: string, cases: readonly CaseResult[], minutes: number): Goal[] {
  const p90 = quantileOf(delayMinutes(cases), 0.9);
  return [
    atMost(`${name}, median delay, min`, minutes, medianMinutes(cases)),
    atMost(`${name}, p90 delay, min`, 2 * minutes, p90),
  ];
}

function ratios(name: string, cases: readonly CaseResult[], median: number, p90: number | null): Goal[] {
  const all = ratiosOf(cases);
  const middle = atMost(`${name}, times the oracle`, median, quantileOf(all, 0.5));
  return p90 === null
    ? [middle]
    : [middle, atMost(`${name}, times the oracle, p90`, p90, quantileOf(all, 0.9))];
}

function leads(cases: readonly CaseResult[]): Goal {
  const slow = cases.filter(({ leavesDays }) => leavesDays !== null && leavesDays >= LEAVES_TIME_DAYS);
  const early = slow.map(({ leadDays }) => leadDays !== null && leadDays >= WORTHWHILE_LEAD_DAYS);
  return atLeast('gradual faults found 14 days before the limit, %', 95, percent(early));
}

function looseF1(causes: readonly { truth: string; told: string }[]): number | null {
  const planted = causes.some(({ truth }) => truth === 'loose connector');
  return planted ? f1(causes, 'loose connector') : null;
}

function atMost(name: string, limit: number, value: number | null): Goal {
  return {
    name,
    wanted: `at most ${limit}`,
    reached: text(value),
    met: value === null ? null : value <= limit,
  };
}

function atLeast(name: string, limit: number, value: number | null): Goal {
  return {
    name,
    wanted: `at least ${limit}`,
    reached: text(value),
    met: value === null ? null : value >= limit,
  };
}

function between(name: string, { holds, of }: Share): Goal {
  const share = of === 0 ? null : (100 * holds) / of;
  return {
    name,
    wanted: '75 to 85',
    reached: share === null ? '–' : `${text(share)} of ${of}`,
    met: share === null ? null : share >= 75 && share <= 85,
  };
}

function notTwo(cases: readonly CaseResult[]): CaseResult[] {
  return cases.filter(({ family }) => family !== 'two');
}

function percent(values: readonly boolean[]): number | null {
  return hundredfold(mean(values.map(Number)));
}

function hundredfold(share: number | null): number | null {
  return share === null ? null : 100 * share;
}

function medianMinutes(cases: readonly CaseResult[]): number | null {
  return quantileOf(delayMinutes(cases), 0.5);
}

function delayMinutes(cases: readonly CaseResult[]): number[] {
  return delaysOf(cases).map((ms) => ms / MINUTE_MS);
}

function text(value: number | null): string {
  if (value === null) return '–';
  return value === Number.POSITIVE_INFINITY ? 'missed' : value.toFixed(value < 10 ? 2 : 0);
}
