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

/** From onset to its end, or to now: a soft ground with an edge. */
export function drawFindings(u: uPlot, findings: readonly MarkedFinding[], theme: ChartTheme): void {
  const px = pixelRatio();
  inPlot(u, (ctx) => {
    for (const { from, to } of spansInView(u, findings)) {
      ctx.fillStyle = theme.belowSoft;
      ctx.fillRect(from, u.bbox.top, Math.max(2 * px, to - from), u.bbox.height);
      ctx.fillStyle = theme.below;
      ctx.fillRect(from, u.bbox.top, 1.5 * px, u.bbox.height);
    }
  });
}

/** The number that names each finding, at its onset. */
export function nameFindings(u: uPlot, findings: readonly MarkedFinding[], theme: ChartTheme): void {
  const furthest = u.bbox.left + u.bbox.width - 20 * pixelRatio();
  inPlot(u, (ctx) => {
    for (const { mark, from } of spansInView(u, findings)) {
      tag(ctx, mark, Math.min(from, furthest), u.bbox.top, theme.below, theme);
    }
  });
}

function spansInView(u: uPlot, findings: readonly MarkedFinding[]) {
  const { left, width } = u.bbox;
  return findings
    .map(({ mark, finding }) => ({
      mark,
      from: Math.max(left, u.valToPos(seconds(finding.onsetAt), 'x', true)),
      to: finding.closedAt === null ? left + width : u.valToPos(seconds(finding.closedAt), 'x', true),
    }))
    .filter(({ from, to }) => to >= left && from <= left + width);
}

/** Maintenance windows: hatched, since what was read inside is not judged. */
export function drawMaintenance(u: uPlot, windows: HistoryView['maintenance'], theme: ChartTheme): void {
  const px = pixelRatio();
  const { left, top, width, height } = u.bbox;
  inPlot(u, (ctx) => {
    for (const { fromAt, toAt } of windows) {
      const from = Math.max(left, u.valToPos(seconds(fromAt), 'x', true));
      const to = Math.min(left + width, u.valToPos(seconds(toAt), 'x', true));
      if (to <= from) continue;
      ctx.save();
      ctx.beginPath();
      ctx.rect(from, top, Math.max(2 * px, to - from), height);
      ctx.clip();
      ctx.strokeStyle = theme.edge;
      ctx.lineWidth = px;
      ctx.beginPath();
      for (let x = from - height; x < to; x += 8 * px) {
        ctx.moveTo(x, top + height);
        ctx.lineTo(x + height, top);
      }
      ctx.stroke();
      ctx.restore();
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
      if (lettered) tag(ctx, mark, at, u.bbox.top, theme.quiet, theme);
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

interface LimitWindow {
  readonly min: number | null;
  readonly max: number | null;
}

/** The ground beyond each limit, shaded. */
export function drawWindow(u: uPlot, window: LimitWindow, theme: ChartTheme): void {
  const px = pixelRatio();
  inPlot(u, (ctx) => {
    for (const { at, edge } of limitEdges(u, window)) {
      ctx.fillStyle = theme.sunken;
      ctx.fillRect(u.bbox.left, Math.min(at, edge), u.bbox.width, Math.abs(edge - at));
      ctx.fillStyle = theme.edge;
      ctx.fillRect(u.bbox.left, at - px / 2, u.bbox.width, px);
    }
  });
}

/** What each limit is, beside its line, or at the edge beyond which it lies. */
export function nameWindow(u: uPlot, window: LimitWindow, unit: string, theme: ChartTheme): void {
  const px = pixelRatio();
  const { left, top, width, height } = u.bbox;
  inPlot(u, (ctx) => {
    ctx.font = scaledFont(theme.font, px);
    ctx.textAlign = 'right';
    ctx.fillStyle = theme.quiet;
    for (const { limit, lower, at } of limitEdges(u, window)) {
      const seen = at > top && at < top + height;
      const line = Math.max(top, Math.min(top + height, at));
      const text = `limit ${formatNumber(limit)} ${unit}`;
      ctx.textBaseline = lower ? 'bottom' : 'top';
      ctx.fillText(
        seen ? text : `${lower ? '↓' : '↑'} ${text}`,
        left + width - 6 * px,
        line + (lower ? -4 : 4) * px,
      );
    }
  });
}

function limitEdges(u: uPlot, { min, max }: LimitWindow) {
  const { top, height } = u.bbox;
  const place = (limit: number, lower: boolean) => ({
    limit,
    lower,
    at: u.valToPos(limit, 'y', true),
    edge: lower ? top + height : top,
  });
  return [min === null ? null : place(min, true), max === null ? null : place(max, false)].filter(
    (e) => e !== null,
  );
}

function tag(
  ctx: CanvasRenderingContext2D,
  text: string,
  x: number,
  top: number,
  ground: string,
  theme: ChartTheme,
): void {
  const px = pixelRatio();
  ctx.font = scaledFont(theme.font, px);
  const width = ctx.measureText(text).width + 9 * px;
  ctx.fillStyle = ground;
  ctx.fillRect(x, top, width, 17 * px);
  ctx.fillStyle = theme.surface;
  ctx.textAlign = 'center';
  ctx.textBaseline = 'middle';
  ctx.fillText(text, x + width / 2, top + 9 * px);
}

function scaledFont(font: string, px: number): string {
  return font.replace(/(\d+)px/, (_, size: string) => `${Number(size) * px}px`);
}
