import type uPlot from 'uplot';
import type { z } from 'zod';
import type { TiltLineSchema } from '../../api/schemas/site.ts';
import { NEUTRAL_DB } from '../parts/stripShape.ts';
import { type BandColumns, halfSlotMhz, outsideLimits } from './bandColumns.ts';
import type { ChartTheme } from './theme.ts';

type TiltLine = z.infer<typeof TiltLineSchema>;

/** Canvas pixels in one CSS pixel. */
export const pixelRatio = () => devicePixelRatio;

/** Canvas pixels of a plot's values. */
function scaleOf(u: uPlot) {
  return {
    x: (mhz: number) => u.valToPos(mhz, 'x', true),
    y: (value: number) => u.valToPos(value, 'y', true),
    px: pixelRatio(),
  };
}

/** Runs drawing inside the plot area, leaving the context as it was. */
export function inPlot(u: uPlot, draw: (ctx: CanvasRenderingContext2D) => void): void {
  const { ctx, bbox } = u;
  ctx.save();
  ctx.beginPath();
  ctx.rect(bbox.left, bbox.top, bbox.width, bbox.height);
  ctx.clip();
  draw(ctx);
  ctx.restore();
}

/** Ground outside the limits is shaded, with the limit itself as a line. */
export function drawLimits(u: uPlot, columns: BandColumns, theme: ChartTheme): void {
  const { x, y, px } = scaleOf(u);
  const top = u.bbox.top;
  const bottom = top + u.bbox.height;
  inPlot(u, (ctx) => {
    columns.channels.forEach((channel, i) => {
      const half = halfSlotMhz(columns.freqMhz, i);
      const left = x(channel.freqMhz - half);
      const width = x(channel.freqMhz + half) - left + 0.5;
      for (const [limit, edge] of [
        [channel.levelMinDbmv, bottom],
        [channel.levelMaxDbmv, top],
      ] as const) {
        if (limit === null) continue;
        const at = y(limit);
        ctx.fillStyle = theme.sunken;
        ctx.fillRect(left, Math.min(at, edge), width, Math.abs(edge - at));
        ctx.fillStyle = theme.edge;
        ctx.fillRect(left, at - px / 2, width, px);
      }
    });
  });
}

/** The baseline: a tick at each median, a bar for its spread; dotted where the channel has left the plan. */
export function drawThen(u: uPlot, columns: BandColumns, theme: ChartTheme): void {
  const { x, y, px } = scaleOf(u);
  inPlot(u, (ctx) => {
    ctx.strokeStyle = theme.baseline;
    columns.channels.forEach((channel, i) => {
      if (channel.thenLevelDbmv === null) return;
      const half = halfSlotMhz(columns.freqMhz, i) * 0.8;
      const spread = channel.thenSpreadDb ?? 0;
      const middle = x(channel.freqMhz);
      ctx.setLineDash(channel.standing === 'left-plan' ? [2 * px, 2 * px] : []);
      ctx.lineWidth = px;
      ctx.beginPath();
      ctx.moveTo(middle, y(channel.thenLevelDbmv - spread));
      ctx.lineTo(middle, y(channel.thenLevelDbmv + spread));
      ctx.stroke();
      ctx.lineWidth = 2 * px;
      ctx.beginPath();
      ctx.moveTo(x(channel.freqMhz - half), y(channel.thenLevelDbmv));
      ctx.lineTo(x(channel.freqMhz + half), y(channel.thenLevelDbmv));
      ctx.stroke();
    });
  });
}

/** Now: a dot a channel; outside its limits a diamond; not in the plan a ring; lost a cross at the floor. */
export function drawNow(u: uPlot, columns: BandColumns, theme: ChartTheme): void {
  const { x, y, px } = scaleOf(u);
  const floor = u.bbox.top + u.bbox.height - 9 * px;
  inPlot(u, (ctx) => {
    for (const channel of columns.channels) {
      const at = x(channel.freqMhz);
      if (channel.lost) cross(ctx, at, floor, 5 * px, theme.below);
      if (channel.nowLevelDbmv === null) continue;
      const level = y(channel.nowLevelDbmv);
      if (outsideLimits(channel)) diamond(ctx, at, level, 5 * px, theme.below);
      else if (channel.standing !== 'planned') ring(ctx, at, level, 3.5 * px, theme.trace);
      else dot(ctx, at, level, 2.6 * px, theme.trace);
    }
  });
}

export function drawTiltLine(u: uPlot, line: TiltLine | null, colour: string, dashed: boolean): void {
  if (!line) return;
  const { x, y, px } = scaleOf(u);
  inPlot(u, (ctx) => {
    ctx.strokeStyle = colour;
    ctx.lineWidth = 1.5 * px;
    ctx.setLineDash(dashed ? [6 * px, 4 * px] : []);
    ctx.beginPath();
    ctx.moveTo(x(line.lowMhz), y(line.levelLowDbmv));
    ctx.lineTo(x(line.highMhz), y(line.levelHighDbmv));
    ctx.stroke();
  });
}

/** Bars from the baseline: neutral within what a meter can tell, coloured beyond. */
export function drawDeviation(u: uPlot, columns: BandColumns, theme: ChartTheme): void {
  const { x, y, px } = scaleOf(u);
  const zero = y(0);
  inPlot(u, (ctx) => {
    ctx.fillStyle = theme.edge;
    ctx.fillRect(u.bbox.left, zero - px / 2, u.bbox.width, px);
    columns.channels.forEach((channel, i) => {
      if (channel.lost) cross(ctx, x(channel.freqMhz), zero, 5 * px, theme.below);
      if (channel.deviationDb === null) return;
      const half = halfSlotMhz(columns.freqMhz, i) * 0.8;
      const left = x(channel.freqMhz - half);
      const end = y(channel.deviationDb);
      const near = Math.abs(channel.deviationDb) <= NEUTRAL_DB;
      ctx.fillStyle = near ? theme.near : channel.deviationDb < 0 ? theme.below : theme.above;
      ctx.fillRect(
        left,
        Math.min(zero, end),
        x(channel.freqMhz + half) - left,
        Math.max(px, Math.abs(end - zero)),
      );
    });
  });
}

function dot(ctx: CanvasRenderingContext2D, x: number, y: number, radius: number, colour: string): void {
  ctx.fillStyle = colour;
  ctx.beginPath();
  ctx.arc(x, y, radius, 0, 2 * Math.PI);
  ctx.fill();
}

function ring(ctx: CanvasRenderingContext2D, x: number, y: number, radius: number, colour: string): void {
  ctx.strokeStyle = colour;
  ctx.lineWidth = radius / 2;
  ctx.beginPath();
  ctx.arc(x, y, radius, 0, 2 * Math.PI);
  ctx.stroke();
}

function diamond(ctx: CanvasRenderingContext2D, x: number, y: number, radius: number, colour: string): void {
  ctx.fillStyle = colour;
  ctx.beginPath();
  ctx.moveTo(x, y - radius);
  ctx.lineTo(x + radius, y);
  ctx.lineTo(x, y + radius);
  ctx.lineTo(x - radius, y);
  ctx.fill();
}

function cross(ctx: CanvasRenderingContext2D, x: number, y: number, radius: number, colour: string): void {
  ctx.strokeStyle = colour;
  ctx.lineWidth = radius / 2;
  ctx.beginPath();
  ctx.moveTo(x - radius, y - radius);
  ctx.lineTo(x + radius, y + radius);
  ctx.moveTo(x - radius, y + radius);
  ctx.lineTo(x + radius, y - radius);
  ctx.stroke();
}
