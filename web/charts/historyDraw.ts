import type uPlot from 'uplot';
import type { FindingView } from '../../api/schemas/common.ts';
import type { HistoryView } from '../../api/schemas/site.ts';
import { formatNumber } from '../format.ts';
import { inPlot, pixelRatio } from './bandDraw.ts';
import type { ChartTheme } from './theme.ts';

/** A finding with the number that names it beside the charts. */
export interface MarkedFinding {
  readonly mark: string;
  readonly finding: FindingView;
}

export interface MarkedEvent {
  readonly mark: string;
  readonly event: HistoryView['events'][number];
}

const seconds = (at: string) => Date.parse(at) / 1000;

/** From onset to its end, or to now: a soft ground, an edge, and the finding's number. */
export function drawFindings(u: uPlot, findings: readonly MarkedFinding[], theme: ChartTheme): void {
  const px = pixelRatio();
  const right = u.bbox.left + u.bbox.width;
  inPlot(u, (ctx) => {
    for (const { mark, finding } of findings) {
      const from = Math.max(u.bbox.left, u.valToPos(seconds(finding.onsetAt), 'x', true));
      const to = finding.closedAt === null ? right : u.valToPos(seconds(finding.closedAt), 'x', true);
      if (to < u.bbox.left || from > right) continue;
      ctx.fillStyle = theme.belowSoft;
      ctx.fillRect(from, u.bbox.top, Math.max(2 * px, to - from), u.bbox.height);
      ctx.fillStyle = theme.below;
      ctx.fillRect(from, u.bbox.top, 1.5 * px, u.bbox.height);
      tag(ctx, mark, Math.min(from, right - 20 * px), u.bbox.top, px, theme.below, theme.surface, theme.font);
    }
  });
}

/** What people did: a dotted upright with a letter. */
export function drawEvents(
  u: uPlot,
  events: readonly MarkedEvent[],
  theme: ChartTheme,
  lettered: boolean,
): void {
  const px = pixelRatio();
  inPlot(u, (ctx) => {
    for (const { mark, event } of events) {
      const at = u.valToPos(seconds(event.at), 'x', true);
      ctx.strokeStyle = theme.quiet;
      ctx.lineWidth = px;
      ctx.setLineDash([2 * px, 3 * px]);
      ctx.beginPath();
      ctx.moveTo(at, u.bbox.top);
      ctx.lineTo(at, u.bbox.top + u.bbox.height);
      ctx.stroke();
      if (lettered) tag(ctx, mark, at, u.bbox.top, px, theme.quiet, theme.surface, theme.font);
    }
  });
}

/** The baseline in force, dashed. */
export function drawBaseline(
  u: uPlot,
  steps: readonly { fromS: number; value: number }[],
  theme: ChartTheme,
): void {
  const px = pixelRatio();
  const right = u.bbox.left + u.bbox.width;
  inPlot(u, (ctx) => {
    ctx.strokeStyle = theme.baseline;
    ctx.lineWidth = 1.5 * px;
    ctx.setLineDash([6 * px, 4 * px]);
    steps.forEach(({ fromS, value }, i) => {
      const next = steps[i + 1];
      const y = u.valToPos(value, 'y', true);
      ctx.beginPath();
      ctx.moveTo(u.valToPos(fromS, 'x', true), y);
      ctx.lineTo(next ? u.valToPos(next.fromS, 'x', true) : right, y);
      ctx.stroke();
    });
  });
}

/** Each limit as shaded ground beyond it, or, when it is off the picture, as a note at the edge. */
export function drawWindow(
  u: uPlot,
  { min, max }: { min: number | null; max: number | null },
  unit: string,
  theme: ChartTheme,
): void {
  const px = pixelRatio();
  const { left, top, width, height } = u.bbox;
  const bottom = top + height;
  inPlot(u, (ctx) => {
    ctx.font = scaledFont(theme.font, px);
    ctx.textAlign = 'right';
    for (const [limit, edge, word] of [
      [min, bottom, 'lower'],
      [max, top, 'upper'],
    ] as const) {
      if (limit === null) continue;
      const y = u.valToPos(limit, 'y', true);
      const text = `${word} limit ${formatNumber(limit)} ${unit}`;
      const seen = y > top && y < bottom;
      if (seen) {
        ctx.fillStyle = theme.sunken;
        ctx.fillRect(left, Math.min(y, edge), width, Math.abs(edge - y));
        ctx.fillStyle = theme.edge;
        ctx.fillRect(left, y - px / 2, width, px);
      }
      ctx.fillStyle = theme.quiet;
      ctx.textBaseline = word === 'lower' ? 'bottom' : 'top';
      const at = seen ? y + (word === 'lower' ? -3 : 3) * px : edge + (word === 'lower' ? -3 : 3) * px;
      ctx.fillText(seen ? text : `${word === 'lower' ? '↓' : '↑'} ${text}`, left + width - 6 * px, at);
    }
  });
}

function tag(
  ctx: CanvasRenderingContext2D,
  text: string,
  x: number,
  top: number,
  px: number,
  ground: string,
  ink: string,
  font: string,
): void {
  ctx.font = scaledFont(font, px);
  const width = ctx.measureText(text).width + 9 * px;
  ctx.fillStyle = ground;
  ctx.fillRect(x, top, width, 17 * px);
  ctx.fillStyle = ink;
  ctx.textAlign = 'center';
  ctx.textBaseline = 'middle';
  ctx.fillText(text, x + width / 2, top + 9 * px);
}

function scaledFont(font: string, px: number): string {
  return font.replace(/(\d+)px/, (_, size: string) => `${Number(size) * px}px`);
}
