import type uPlot from 'uplot';
import { inPlot, pixelRatio } from './bandDraw.ts';
import type { ChartTheme } from './theme.ts';

const HALF_WIDTH = 4;
const HEIGHT = 7;

/** A triangle at the edge for every value of the first series that lies beyond it. */
export function drawBeyond(u: uPlot, theme: ChartTheme): void {
  const px = pixelRatio();
  const { top, height } = u.bbox;
  const { min, max } = u.scales['y']!;
  inPlot(u, (ctx) => {
    ctx.fillStyle = theme.trace;
    u.data[1]!.forEach((value, i) => {
      if (value == null || (value >= min! && value <= max!)) return;
      const x = u.valToPos(u.data[0]![i]!, 'x', true);
      const [edge, inwards] = value > max! ? [top, 1] : [top + height, -1];
      ctx.beginPath();
      ctx.moveTo(x, edge);
      ctx.lineTo(x - HALF_WIDTH * px, edge + inwards * HEIGHT * px);
      ctx.lineTo(x + HALF_WIDTH * px, edge + inwards * HEIGHT * px);
      ctx.fill();
    });
  });
}
