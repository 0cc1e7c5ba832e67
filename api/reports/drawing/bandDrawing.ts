import type { ChannelReading, PointReadings } from '../reportData.ts';
import type { Drawing, Mark } from './drawing.ts';
import { createPanel, footTicks, type Panel, panelFrame, rangeOf } from './panel.ts';
import { tickValues } from './tickValues.ts';

const WIDTH = 520;
const [LEFT, RIGHT] = [34, 514];
/** Panels from top to bottom: where each begins and how high it is. */
const LEVEL = { top: 16, height: 112 };
const CHANGE = { top: 150, height: 52 };
const MER = { top: 224, height: 62 };
/** A limit this far outside the readings isn't drawn: it would press them flat. */
const LIMIT_REACH_DB = 8;

/** Then and now across frequency: level with its limits, the change, and MER with what it must reach. */
export function bandDrawing({ channels }: PointReadings, title: string): Drawing {
  const xRange = bandOf(channels);
  const mer = channels.some(({ nowMerDb, thenMerDb }) => nowMerDb !== null || thenMerDb !== null);
  const last = mer ? MER : CHANGE;
  const panelAt = (place: { top: number; height: number }, yRange: readonly [number, number]) =>
    createPanel({ left: LEFT, right: RIGHT, ...place, xRange, yRange });
  const panels = [
    levelPanel(channels, panelAt),
    changePanel(channels, panelAt),
    ...(mer ? [merPanel(channels, panelAt)] : []),
  ];
  const foot = createPanel({ left: LEFT, right: RIGHT, ...last, xRange, yRange: [0, 1] });
  const ticks = tickValues(xRange[0], xRange[1], 9);
  return {
    width: WIDTH,
    height: last.top + last.height + 26,
    label: `${title}: level, change and MER of every channel, baseline and now`,
    marks: [
      ...panels.flat(),
      ...footTicks(
        foot,
        ticks.values.map((at) => ({ at, text: String(at) })),
      ),
      { mark: 'text', at: [RIGHT, foot.bottom + 21], text: 'MHz', size: 7, anchor: 'end', ink: 'quiet' },
    ],
  };
}

type PanelAt = (place: { top: number; height: number }, yRange: readonly [number, number]) => Panel;

function bandOf(channels: readonly ChannelReading[]): readonly [number, number] {
  const [low, high] = [channels[0]?.freqMhz ?? 50, channels.at(-1)?.freqMhz ?? 1000];
  const pad = Math.max(6, (high - low) * 0.015);
  return [low - pad, high + pad];
}

function levelPanel(channels: readonly ChannelReading[], panelAt: PanelAt): Mark[] {
  const levels = channels.flatMap(({ thenLevelDbmv, nowLevelDbmv }) => [thenLevelDbmv, nowLevelDbmv]);
  const [low, high] = rangeOf(levels, 6);
  const limits = channels.flatMap(({ levelMinDbmv, levelMaxDbmv }) => [levelMinDbmv, levelMaxDbmv]);
  const near = limits.filter(
    (limit) => limit !== null && limit > low - LIMIT_REACH_DB && limit < high + LIMIT_REACH_DB,
  );
  const panel = panelAt(LEVEL, rangeOf([low, high, ...near], 6));
  const within = (limit: number | null) => (limit !== null && near.includes(limit) ? limit : null);
  return [
    ...panelFrame(panel, 'Level, dBmV'),
    ...limitTicks(channels, panel, ({ levelMinDbmv }) => within(levelMinDbmv)),
    ...limitTicks(channels, panel, ({ levelMaxDbmv }) => within(levelMaxDbmv)),
    ...channels.flatMap((channel) => levelMarks(channel, panel)),
  ];
}

function levelMarks(channel: ChannelReading, panel: Panel): Mark[] {
  const { freqMhz, thenLevelDbmv: then, nowLevelDbmv: now, levelMarginDb, lost } = channel;
  const x = panel.x(freqMhz);
  const marks: Mark[] = [];
  if (then !== null) {
    marks.push({ mark: 'dot', at: [x, panel.y(then)], radius: 1.7, ink: 'baseline', hollow: true });
  }
  if (now !== null) {
    const outside = levelMarginDb !== null && levelMarginDb < 0;
    marks.push({ mark: 'dot', at: [x, panel.y(now)], radius: 1.5, ink: outside ? 'below' : 'ink' });
    if (outside) marks.push({ mark: 'dot', at: [x, panel.y(now)], radius: 3.4, ink: 'below', hollow: true });
  }
  if (lost) marks.push(...cross(x, panel.bottom - 5));
  return marks;
}

function changePanel(channels: readonly ChannelReading[], panelAt: PanelAt): Mark[] {
  const [low, high] = rangeOf([0, ...channels.map(({ deviationDb }) => deviationDb)], 2);
  const panel = panelAt(CHANGE, [low, high]);
  const zero: Mark = {
    mark: 'line',
    through: [
      [LEFT, panel.y(0)],
      [RIGHT, panel.y(0)],
    ],
    ink: 'baseline',
    width: 0.8,
  };
  const bars = channels.flatMap(({ freqMhz, deviationDb, lost }): Mark[] => {
    if (lost || deviationDb === null) return [];
    const x = panel.x(freqMhz);
    return [
      {
        mark: 'line',
        through: [
          [x, panel.y(0)],
          [x, panel.y(deviationDb)],
        ],
        ink: 'ink',
        width: 1.6,
      },
    ];
  });
  return [...panelFrame(panel, 'Change of level since the baseline, dB'), zero, ...bars];
}

function merPanel(channels: readonly ChannelReading[], panelAt: PanelAt): Mark[] {
  const values = channels.flatMap(({ thenMerDb, nowMerDb, merLimitDb }) => [
    thenMerDb,
    nowMerDb,
    nowMerDb === null && thenMerDb === null ? null : merLimitDb,
  ]);
  const panel = panelAt(MER, rangeOf(values, 6));
  const marks = channels.flatMap(({ freqMhz, thenMerDb, nowMerDb, merMarginDb }): Mark[] => {
    const x = panel.x(freqMhz);
    const low = merMarginDb !== null && merMarginDb < 0;
    return [
      ...(thenMerDb === null
        ? []
        : [
            { mark: 'dot', at: [x, panel.y(thenMerDb)], radius: 1.7, ink: 'baseline', hollow: true } as const,
          ]),
      ...(nowMerDb === null
        ? []
        : [{ mark: 'dot', at: [x, panel.y(nowMerDb)], radius: 1.5, ink: low ? 'below' : 'ink' } as const]),
      ...(nowMerDb !== null && low
        ? [{ mark: 'dot', at: [x, panel.y(nowMerDb)], radius: 3.4, ink: 'below', hollow: true } as const]
        : []),
    ];
  });
  const measured = channels.filter(({ thenMerDb, nowMerDb }) => thenMerDb !== null || nowMerDb !== null);
  return [
    ...panelFrame(panel, 'MER (CNR of analogue channels), dB'),
    ...limitTicks(measured, panel, ({ merLimitDb }) => merLimitDb),
    ...marks,
  ];
}

/** A short dash at each channel's limit. */
function limitTicks(
  channels: readonly ChannelReading[],
  panel: Panel,
  limitOf: (channel: ChannelReading) => number | null,
): Mark[] {
  return channels.flatMap((channel): Mark[] => {
    const limit = limitOf(channel);
    if (limit === null) return [];
    const [x, y] = [panel.x(channel.freqMhz), panel.y(limit)];
    return [
      {
        mark: 'line',
        through: [
          [x - 2.2, y],
          [x + 2.2, y],
        ],
        ink: 'quiet',
        width: 0.8,
      },
    ];
  });
}

function cross(x: number, y: number): Mark[] {
  const style = { mark: 'line', ink: 'below', width: 1.1 } as const;
  return [
    {
      ...style,
      through: [
        [x - 2.6, y - 2.6],
        [x + 2.6, y + 2.6],
      ],
    },
    {
      ...style,
      through: [
        [x - 2.6, y + 2.6],
        [x + 2.6, y - 2.6],
      ],
    },
  ];
}
