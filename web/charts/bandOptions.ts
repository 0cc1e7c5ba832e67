import type uPlot from 'uplot';
import type { BandView } from '../../api/schemas/site.ts';
import { horizontalAxis, ownDrawing, sharedOptions, verticalAxis } from './axes.ts';
import { type BandColumns, deviationRange, levelRange } from './bandColumns.ts';
import { drawDeviation, drawLimits, drawNow, drawThen, drawTiltLine } from './bandDraw.ts';
import type { ChartTheme } from './theme.ts';

export type SizedLater = Omit<uPlot.Options, 'width'>;
type OnIndex = (index: number | null) => void;

/** Levels then and now across frequency, with tilt lines and limits. */
export function bandLevelOptions(
  band: BandView,
  columns: BandColumns,
  theme: ChartTheme,
  onIndex: OnIndex,
): SizedLater {
  const [low, high] = levelRange(columns);
  return {
    ...sharedOptions('band'),
    height: 320,
    scales: { x: { time: false, range: frequencyRange(columns) }, y: { range: [low, high] } },
    axes: [{ ...horizontalAxis('', theme), labelSize: 0 }, verticalAxis('Level, dBmV', theme)],
    series: [{}, ownDrawing('Then', theme.baseline), ownDrawing('Now', theme.trace)],
    hooks: {
      drawClear: [(u) => drawLimits(u, columns, theme)],
      draw: [
        (u) => drawThen(u, columns, theme),
        (u) => drawTiltLine(u, band.thenLine, theme.baseline, true),
        (u) => drawTiltLine(u, band.nowLine, theme.trace, false),
        (u) => drawNow(u, columns, theme),
      ],
      setCursor: [(u) => onIndex(u.cursor.idx ?? null)],
    },
  };
}

/** Change against baseline across frequency. */
export function bandDeviationOptions(columns: BandColumns, theme: ChartTheme): SizedLater {
  const [low, high] = deviationRange(columns);
  return {
    ...sharedOptions('band'),
    height: 190,
    scales: { x: { time: false, range: frequencyRange(columns) }, y: { range: [low, high] } },
    axes: [horizontalAxis('Frequency, MHz', theme), verticalAxis('Change, dB', theme)],
    series: [{}, ownDrawing('Change', theme.trace)],
    hooks: { draw: [(u) => drawDeviation(u, columns, theme)] },
  };
}

function frequencyRange({ freqMhz }: BandColumns): uPlot.Range.MinMax {
  return [(freqMhz[0] ?? 54) - 6, (freqMhz.at(-1) ?? 1002) + 6];
}
