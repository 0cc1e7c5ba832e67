import type { FindingView } from '../../api/schemas/common.ts';
import type { HistoryView } from '../../api/schemas/site.ts';

/** What is drawn over time, each in a chart of its own. */
export type HistoryMetric = 'level' | 'tilt' | 'mer' | 'ambient';

export const HISTORY_LABEL: Readonly<Record<HistoryMetric, string>> = {
  level: 'Level, dBmV',
  tilt: 'Tilt, dB',
  mer: 'MER margin, dB',
  ambient: 'Air, °C',
};

type Column = readonly (number | null)[];

export function historyColumn(history: HistoryView, metric: HistoryMetric): Column {
  if (metric === 'level') return history.levelDbmv;
  if (metric === 'tilt') return history.tiltDb;
  return metric === 'mer' ? history.merMarginDb : history.ambientC;
}

export function historyWindow(
  history: HistoryView,
  metric: HistoryMetric,
): { min: number | null; max: number | null } {
  if (metric === 'level') return history.limits.level;
  if (metric === 'tilt') return history.limits.tilt;
  return metric === 'mer' ? history.limits.merMargin : { min: null, max: null };
}

/** The baseline in force from each `fromS` on, for one metric. */
export function baselineSteps(
  history: HistoryView,
  metric: HistoryMetric,
): { fromS: number; value: number }[] {
  if (metric === 'ambient') return [];
  return history.baselines.flatMap((baseline) => {
    const value =
      metric === 'level' ? baseline.levelDbmv : metric === 'tilt' ? baseline.tiltDb : baseline.merMarginDb;
    return value === null ? [] : [{ fromS: Date.parse(baseline.effectiveFrom) / 1000, value }];
  });
}

/** The chart on which a finding is marked; what has no chart of its own stands on the level chart. */
export function chartOf(finding: FindingView): HistoryMetric {
  return finding.metric === 'tilt' || finding.metric === 'mer' ? finding.metric : 'level';
}

/**
 * Columns with a null put into every hole in time wider than three usual steps, so that no line is drawn
 * across hours in which nothing came in.
 */
export function withGaps(
  times: readonly number[],
  columns: readonly Column[],
): { times: number[]; columns: Column[] } {
  const steps = times.slice(1).map((time, i) => time - times[i]!);
  const usual = [...steps].sort((a, b) => a - b)[Math.floor(steps.length / 2)] ?? 0;
  const outTimes: number[] = [];
  const outColumns = columns.map((): (number | null)[] => []);
  times.forEach((time, i) => {
    const before = times[i - 1];
    if (before !== undefined && time - before > 3 * usual) {
      outTimes.push(before + usual);
      for (const column of outColumns) column.push(null);
    }
    outTimes.push(time);
    outColumns.forEach((column, c) => {
      column.push(columns[c]![i] ?? null);
    });
  });
  return { times: outTimes, columns: outColumns };
}

/** Limits further than this from the readings stay off the picture and are written at its edge. */
const REACH_DB = 3;

/** Bottom and top of the axis: the readings, less single ones far from both neighbours, baselines with room, and limits within reach. */
export function historyRange(history: HistoryView, metric: HistoryMetric): readonly [number, number] {
  const readings = withoutLoneOnes(historyColumn(history, metric).filter((value) => value !== null));
  const values = [...readings, ...baselineSteps(history, metric).map((step) => step.value)];
  if (values.length === 0) return [0, 1];
  let low = values.reduce((a, b) => Math.min(a, b));
  let high = values.reduce((a, b) => Math.max(a, b));
  const { min, max } = historyWindow(history, metric);
  if (min !== null && min > low - REACH_DB) low = Math.min(low, min);
  if (max !== null && max < high + REACH_DB) high = Math.max(high, max);
  const room = Math.max(0.5, 0.12 * (high - low));
  return [low - room, high + room];
}

/** The middle of every three in a row, so that one wild sweep doesn't flatten all others; the newest stays as it is. */
function withoutLoneOnes(values: readonly number[]): number[] {
  if (values.length < 3) return [...values];
  const middles = values.slice(2).map((_, i) => values.slice(i, i + 3).sort((a, b) => a - b)[1]!);
  return [...middles, values.at(-1)!];
}
