import { confusionLines } from './confusion.ts';
import type { Evaluation } from './evaluate.ts';
import { goalsOf } from './goals.ts';
import type { EvaluateOptions } from './options.ts';
import { poissonInterval } from './poissonInterval.ts';
import { type RowSummary, type Share, summariseRow } from './summarise.ts';
import { TODAY } from './today.ts';

const HOUR_MS = 3_600_000;

const COLUMNS: readonly (readonly [title: string, width: number, value: (row: RowSummary) => string])[] = [
  ['found', 7, ({ found, of }) => `${found}/${of}`],
  ['median', 8, ({ medianDelayMs }) => duration(medianDelayMs)],
  ['p90', 8, ({ p90DelayMs }) => duration(p90DelayMs)],
  ['oracle', 8, ({ oracleMs }) => duration(oracleMs)],
  ['ratio', 7, ({ medianRatio }) => number(medianRatio, 1)],
  ['r p90', 7, ({ p90Ratio }) => number(p90Ratio, 1)],
  ['extra', 7, ({ extra }) => number(extra, 1)],
  ['onset±', 8, ({ onsetErrorMs }) => duration(onsetErrorMs)],
  ['size±', 7, ({ sizeErrorDb }) => number(sizeErrorDb, 2)],
  ['hop', 6, ({ placed }) => percent(placed)],
  ['side', 6, ({ sideRight }) => percent(sideRight)],
  ['cause', 6, ({ causeAtFirst }) => percent(causeAtFirst)],
  ['72 h', 6, ({ causeAtEnd }) => percent(causeAtEnd)],
  ['lead d', 7, ({ leadDays }) => number(leadDays, 0)],
  ['in size', 8, ({ coverage }) => share(coverage.size)],
  ['onset', 6, ({ coverage }) => share(coverage.onset)],
  ['limit', 6, ({ coverage }) => share(coverage.limit)],
  ['limits', 7, ({ missedByLimits }) => String(missedByLimits)],
  ['3 dB', 6, ({ missedBy3Db }) => String(missedBy3Db)],
];

const HEADING = `Delays from the true onset, a fault missed counting as endless; ratio, r p90: times the oracle's delay at the
same fault; extra: alerts beyond the first; onset±, size±: median error; hop, side, cause: % right at the first alert, 72 h: cause three days later; lead: days left before a limit is crossed;
in size, onset, limit: 80 % intervals that hold the truth; limits, 3 dB: faults missed by today's methods, confirmed by two sweeps.
Silence is left out: it depends on wall time and is judged by the risk part.`;

/** The evaluation as text. */
export function report(evaluation: Evaluation, options: EvaluateOptions): string {
  return [
    `Seed ${options.seed}, setting ${options.setting}, ${options.sites} faulty sites a row`,
    '',
    ...(evaluation.cases.length > 0 ? [...rowLines(evaluation), '', ...todayLines(evaluation), ''] : []),
    ...(evaluation.quiet.length > 0 ? [...quietLines(evaluation), ''] : []),
    ...(evaluation.cases.length > 0 ? [...causeLines(evaluation), ''] : []),
    ...goalLines(evaluation),
    ...(options.verbose ? ['', ...detailLines(evaluation)] : []),
  ].join('\n');
}

function rowLines({ cases }: Evaluation): string[] {
  const rows = [...Map.groupBy(cases, ({ row }) => row).values()].map(summariseRow);
  return [
    HEADING,
    '',
    'fault'.padEnd(32) + COLUMNS.map(([title, width]) => title.padStart(width)).join(''),
    ...rows.map(
      (row) => row.name.padEnd(32) + COLUMNS.map(([, width, value]) => value(row).padStart(width)).join(''),
    ),
  ];
}

function todayLines({ cases }: Evaluation): string[] {
  return [
    `Faults missed of ${cases.length}`,
    `  ${'the engine'.padEnd(30)}${String(cases.filter(({ delayMs }) => delayMs === null).length).padStart(9)}`,
    ...TODAY.map((method) => {
      const missed = cases.filter(({ caughtToday }) => !caughtToday.includes(method)).length;
      return `  ${`today: ${method}`.padEnd(30)}${String(missed).padStart(9)}`;
    }),
    '  (without confirmation, a wild sweep within the 30 days counts as a catch)',
  ];
}

function quietLines({ quiet }: Evaluation): string[] {
  const years = quiet.reduce((sum, each) => sum + each.years, 0);
  const alerts = quiet.flatMap((each) => each.alerts);
  const kinds = Map.groupBy(alerts, ({ kind, metric }) => `${kind} ${metric}`);
  const line = (name: string, count: number) => {
    const [low, high] = poissonInterval(count).map((value) => (value / years).toFixed(2));
    return `  ${name.padEnd(30)}${(count / years).toFixed(2).padStart(9)}  (90 %: ${low} to ${high})`;
  };
  return [
    `False alerts a site-year over ${years.toFixed(1)} fault-free site-years, after the first two weeks`,
    line('all kinds', alerts.length),
    ...[...kinds].sort((a, b) => b[1].length - a[1].length).map(([kind, those]) => line(kind, those.length)),
    ...TODAY.map((method) =>
      line(
        `today: ${method}`,
        quiet.reduce((sum, { today }) => sum + today[method], 0),
      ),
    ),
  ];
}

function causeLines({ cases }: Evaluation): string[] {
  const named = cases
    .filter(({ family }) => family !== 'two')
    .map((each) => ({ truth: each.truthCause, told: each.causeAtEnd }));
  return ['Causes three days after the first alert', ...confusionLines(named)];
}

function goalLines(evaluation: Evaluation): string[] {
  return [
    'Goals',
    ...goalsOf(evaluation).map(({ name, wanted, reached, met }) => {
      const mark = met === null ? 'not run' : met ? 'met' : 'NOT MET';
      return `  ${name.padEnd(52)}${wanted.padEnd(15)}${reached.padStart(22)}  ${mark}`;
    }),
  ];
}

function detailLines({ cases, quiet }: Evaluation): string[] {
  return [
    'False alerts',
    ...quiet.flatMap(({ index, alerts }) =>
      alerts.map(
        ({ kind, metric, hop, day, sizeDb }) =>
          `  quiet ${index}: ${kind} ${metric} at ${hop}, day ${day}, ${sizeDb.toFixed(2)} dB`,
      ),
    ),
    'Faults',
    ...cases.map(
      (each) =>
        `  ${each.row} ${each.index}: ${duration(each.delayMs)} (oracle ${duration(each.oracleMs)}), extra ${each.extra}, before ${each.before}, placed ${each.placed}, side ${each.sideRight}, ${each.truthCause}: ${each.causeAtFirst}, ${each.causeAtEnd}`,
    ),
  ];
}

/** Minutes up to two hours, hours up to two days, then days. */
function duration(ms: number | null): string {
  if (ms === null) return '–';
  if (ms === Number.POSITIVE_INFINITY) return 'missed';
  if (ms < 2 * HOUR_MS) return `${Math.round(ms / 60_000)} min`;
  return ms < 48 * HOUR_MS ? `${(ms / HOUR_MS).toFixed(1)} h` : `${(ms / (24 * HOUR_MS)).toFixed(1)} d`;
}

function number(value: number | null, digits: number): string {
  if (value === null) return '–';
  return value === Number.POSITIVE_INFINITY ? 'missed' : value.toFixed(digits);
}

function percent(value: number | null): string {
  return value === null ? '–' : Math.round(100 * value).toString();
}

function share({ holds, of }: Share): string {
  return of === 0 ? '–' : `${holds}/${of}`;
}
