import type uPlot from 'uplot';
import type { ChartTheme } from './theme.ts';

/** Room for the vertical axis, CSS px: the same on every chart, so that stacked ones line up. */
const AXIS_WIDTH = 58;

/** The horizontal axis; `label` says the quantity and its unit. */
export function horizontalAxis(label: string, theme: ChartTheme): uPlot.Axis {
  return {
    label,
    labelFont: theme.font,
    labelSize: 20,
    font: theme.font,
    size: 30,
    gap: 4,
    stroke: theme.quiet,
    grid: { show: false },
    ticks: { stroke: theme.edge, width: 1, size: 4 },
  };
}

/** The vertical axis; `label` says the quantity and its unit. */
export function verticalAxis(label: string, theme: ChartTheme): uPlot.Axis {
  return {
    label,
    labelFont: theme.font,
    labelSize: 20,
    font: theme.font,
    size: AXIS_WIDTH - 20,
    gap: 4,
    stroke: theme.quiet,
    grid: { stroke: theme.rule, width: 1 },
    ticks: { show: false },
    values: (_, splits) => splits.map((value) => String(Number(value.toFixed(2))).replace('-', '−')),
  };
}

/** What all charts share: no legend of the library's, the cursor shared by `syncKey`, no drag to zoom. */
export function sharedOptions(syncKey: string): Pick<uPlot.Options, 'legend' | 'cursor' | 'padding'> {
  return {
    legend: { show: false },
    padding: [10, 12, 0, 0],
    cursor: {
      y: false,
      drag: { x: false, y: false },
      sync: { key: syncKey, setSeries: false },
      points: { size: 9, width: 2 },
    },
  };
}

/** A series whose drawing is ours; the library keeps its scale and cursor. */
export function ownDrawing(label: string, colour: string): uPlot.Series {
  return { label, stroke: colour, paths: () => null, points: { show: false } };
}
