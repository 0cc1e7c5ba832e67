import uPlot from 'uplot';
import type { HistoryView } from '../../api/schemas/site.ts';
import { horizontalAxis, sharedOptions, verticalAxis } from './axes.ts';
import type { SizedLater } from './bandOptions.ts';
import { drawBeyond } from './drawBeyond.ts';
import {
  baselineSteps,
  chartOf,
  HISTORY_LABEL,
  type HistoryMetric,
  historyRange,
  historyWindow,
} from './historyColumns.ts';
import {
  drawBaseline,
  drawEvents,
  drawFindings,
  drawMaintenance,
  drawWindow,
  type MarkedEvent,
  type MarkedFinding,
  nameFindings,
  nameWindow,
} from './historyDraw.ts';
import type { ChartTheme } from './theme.ts';
import { timeTicks } from './timeTicks.ts';

export interface HistoryChart {
  readonly history: HistoryView;
  readonly metric: HistoryMetric;
  readonly timeZone: string;
  /** Said on the axis of the lowest chart, such as "CST". */
  readonly zoneWord: string;
  readonly first: boolean;
  readonly last: boolean;
  /** Seconds since 1970, both ends, the same on every chart. */
  readonly span: readonly [number, number];
  readonly findings: readonly MarkedFinding[];
  readonly events: readonly MarkedEvent[];
  readonly theme: ChartTheme;
  readonly onIndex: (index: number | null) => void;
}

/** One quantity over time, with baseline, limits, findings and events. */
export function historyOptions(chart: HistoryChart): SizedLater {
  const { history, metric, theme, first, last, span } = chart;
  const [low, high] = historyRange(history, metric);
  const unit = metric === 'level' ? 'dBmV' : 'dB';
  const marked = chart.findings.filter(({ finding }) => metric !== 'ambient' && chartOf(finding) === metric);
  return {
    ...sharedOptions('history'),
    height: (metric === 'ambient' ? 90 : 170) + (last ? 50 : 0),
    tzDate: (timeS) => uPlot.tzDate(new Date(timeS * 1000), chart.timeZone),
    scales: { x: { range: [span[0], span[1]] }, y: { range: [low, high] } },
    axes: [
      {
        ...horizontalAxis(last ? `Time, ${chart.zoneWord}` : '', theme),
        size: last ? 46 : 6,
        labelSize: last ? 20 : 0,
        values: (_, splits, __, ___, stepS) =>
          last ? timeTicks(splits, stepS, chart.timeZone) : splits.map(() => ''),
      },
      { ...verticalAxis(HISTORY_LABEL[metric], theme), space: 32 },
    ],
    series: [{}, { label: HISTORY_LABEL[metric], stroke: theme.trace, width: 1.25, points: { show: false } }],
    hooks: {
      drawClear: [
        (u) => drawFindings(u, marked, theme),
        (u) => drawWindow(u, historyWindow(history, metric), theme),
        (u) => drawMaintenance(u, history.maintenance, theme),
      ],
      draw: [
        (u) => drawBaseline(u, baselineSteps(history, metric), theme),
        (u) => drawEvents(u, chart.events, theme, first),
        (u) => nameFindings(u, marked, theme),
        (u) => nameWindow(u, historyWindow(history, metric), unit, theme),
        (u) => drawBeyond(u, theme),
      ],
      setCursor: first ? [(u) => chart.onIndex(u.cursor.idx ?? null)] : [],
    },
  };
}
