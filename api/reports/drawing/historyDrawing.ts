import { median } from '../../../ingest/signal/median.ts';
import type { FindingView } from '../../schemas/common.ts';
import type { PointBaseline, PointHistory } from '../reportData.ts';
import { brokenLine } from './brokenLine.ts';
import { dayTicks } from './dayTicks.ts';
import type { Drawing, Mark } from './drawing.ts';
import { createPanel, footTicks, type Panel, panelFrame, rangeOf } from './panel.ts';
import { usualValues } from './usualValues.ts';

const WIDTH = 520;
const [LEFT, RIGHT] = [34, 514];
const [TOP, HEIGHT, PITCH] = [26, 50, 70];
const LIMIT_REACH_DB = 4;
const HOUR_MS = 3_600_000;
const GAP_TIMES_USUAL = 3;

export interface DrawnHistory {
  readonly history: PointHistory;
  readonly baseline: PointBaseline['baseline'];
  /** Those of the point; each onset is marked and numbered as in the list. */
  readonly findings: readonly { readonly number: number; readonly finding: FindingView }[];
  readonly from: string;
  readonly to: string;
  readonly timeZone: string;
  readonly title: string;
}

/** Level, tilt and worst MER margin over the period; onsets as lines, and as bands where their intervals lie. */
export function historyDrawing(drawn: DrawnHistory): Drawing {
  const { history, baseline, from, to, timeZone } = drawn;
  const xRange = [Date.parse(from), Date.parse(to)] as const;
  const rows = [
    {
      title: 'Level at mid band, dBmV',
      values: history.levelDbmv,
      before: baseline?.levelDbmv,
      window: history.levelWindow,
    },
    {
      title: 'Tilt across the band, dB',
      values: history.tiltDb,
      before: baseline?.tiltDb,
      window: history.tiltWindow,
    },
    {
      title: 'Worst MER or CNR margin to its limit, dB',
      values: history.merMarginDb,
      before: baseline?.worstMerMarginDb,
      window: { min: 0, max: null },
    },
  ].filter(({ values }) => values.some((value) => value !== null));

  const panels = rows.map((row, i) => {
    const usual = usualValues(row.values);
    const near = nearLimits(usual, row.window);
    const before = row.before ?? null;
    const yRange = rangeOf([...usual, before, ...near], 2);
    const panel = createPanel({
      left: LEFT,
      right: RIGHT,
      top: TOP + i * PITCH,
      height: HEIGHT,
      xRange,
      yRange,
    });
    return { ...row, panel, near, before };
  });
  const foot = panels.at(-1)?.panel;
  return {
    width: WIDTH,
    height: TOP + Math.max(1, rows.length) * PITCH - 6,
    label: `${drawn.title}: level, tilt and MER margin over the period`,
    marks: [
      ...panels.flatMap(({ panel }, i) => onsetMarks(drawn.findings, panel, i === 0)),
      ...panels.flatMap(({ panel, title, values, near, before }) => [
        ...panelFrame(panel, title),
        ...near.map((limit) => levelLine(panel, limit, 'quiet', [1.5, 2])),
        ...(before === null ? [] : [levelLine(panel, before, 'baseline', [5, 3])]),
        ...trace(history, values, panel),
        ...beyond(history, values, panel),
      ]),
      ...(foot ? footTicks(foot, dayTicks(xRange[0], xRange[1], timeZone)) : []),
    ],
  };
}

function nearLimits(
  values: readonly number[],
  window: { readonly min: number | null; readonly max: number | null },
): number[] {
  const [low, high] = rangeOf(values, 2);
  return [window.min, window.max].filter(
    (limit) => limit !== null && limit > low - LIMIT_REACH_DB && limit < high + LIMIT_REACH_DB,
  ) as number[];
}

function levelLine(panel: Panel, value: number, ink: 'quiet' | 'baseline', dash: [number, number]): Mark {
  const y = panel.y(value);
  return {
    mark: 'line',
    through: [
      [panel.left, y],
      [panel.right, y],
    ],
    ink,
    width: 0.8,
    dash,
  };
}

/** A gap far longer than those between most readings breaks the line: nothing was read there. */
function trace({ times, stepHours }: PointHistory, values: readonly (number | null)[], panel: Panel): Mark[] {
  const starts = times.map((time) => Date.parse(time));
  const usualMs = median(starts.slice(1).map((ms, i) => ms - starts[i]!)) ?? 0;
  const longestMs = Math.max(2 * stepHours * HOUR_MS, GAP_TIMES_USUAL * usualMs);
  const places = starts.flatMap((startMs, i) => {
    const value = values[i] ?? null;
    const middleMs = startMs + (stepHours * HOUR_MS) / 2;
    const afterGap = i > 0 && startMs - starts[i - 1]! > longestMs;
    const place =
      value === null || isBeyond(value, panel) ? null : ([panel.x(middleMs), panel.y(value)] as const);
    return afterGap ? [null, place] : [place];
  });
  return brokenLine(places, { ink: 'ink', width: 0.9 });
}

/** Values that the panel doesn't reach, as triangles at its edge. */
function beyond(
  { times, stepHours }: PointHistory,
  values: readonly (number | null)[],
  panel: Panel,
): Mark[] {
  return times.flatMap((time, i): Mark[] => {
    const value = values[i] ?? null;
    if (value === null || !isBeyond(value, panel)) return [];
    const x = panel.x(Date.parse(time) + (stepHours * HOUR_MS) / 2);
    const [tip, foot] = value > panel.high ? [panel.top, panel.top + 5] : [panel.bottom, panel.bottom - 5];
    const through = [
      [x, tip],
      [x + 2.6, foot],
      [x - 2.6, foot],
      [x, tip],
    ] as const;
    return [{ mark: 'line', through, ink: 'ink', width: 0.9 }];
  });
}

function isBeyond(value: number, { low, high }: Panel): boolean {
  return value < low || value > high;
}

function onsetMarks(findings: DrawnHistory['findings'], panel: Panel, numbered: boolean): Mark[] {
  const inside = (ms: number) => Math.min(panel.right, Math.max(panel.left, panel.x(ms)));
  return findings.flatMap(({ number, finding }): Mark[] => {
    const x = panel.x(Date.parse(finding.onsetAt));
    const [from, to] = [inside(Date.parse(finding.onsetLowAt)), inside(Date.parse(finding.onsetHighAt))];
    const height = panel.bottom - panel.top;
    const marks: Mark[] = [];
    if (to > from) {
      marks.push({ mark: 'box', at: [from, panel.top], width: Math.max(1, to - from), height, ink: 'wash' });
    }
    if (x < panel.left || x > panel.right) return marks;
    marks.push({
      mark: 'line',
      through: [
        [x, panel.top],
        [x, panel.bottom],
      ],
      ink: 'above',
      width: 0.9,
      dash: [3, 2],
    });
    if (numbered) {
      marks.push({
        mark: 'text',
        at: [x, panel.top - 13],
        text: `F${number}`,
        size: 7.5,
        anchor: 'middle',
        ink: 'above',
      });
    }
    return marks;
  });
}
