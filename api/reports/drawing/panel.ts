import { signed } from '../../diagnosis/words.ts';
import type { Mark } from './drawing.ts';
import { tickValues } from './tickValues.ts';

/** A box with a scale on each side, in which values are drawn. */
export interface Panel {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
  readonly x: (value: number) => number;
  readonly y: (value: number) => number;
  readonly low: number;
  readonly high: number;
}

interface PanelOptions {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly height: number;
  readonly xRange: readonly [number, number];
  readonly yRange: readonly [number, number];
}

export function createPanel({ left, right, top, height, xRange, yRange }: PanelOptions): Panel {
  const bottom = top + height;
  const [x0, x1] = xRange;
  const [low, high] = yRange;
  return {
    left,
    right,
    top,
    bottom,
    low,
    high,
    x: (value) => left + ((value - x0) / (x1 - x0)) * (right - left),
    y: (value) => bottom - ((value - low) / (high - low)) * height,
  };
}

/** A little more than the values span, at least `least`; 0 to `least` for none. */
export function rangeOf(values: readonly (number | null)[], least: number): readonly [number, number] {
  const known = values.filter((value) => value !== null);
  if (known.length === 0) return [0, least];
  const [low, high] = [Math.min(...known), Math.max(...known)];
  const pad = Math.max((high - low) * 0.08, (least - (high - low)) / 2, 0.2);
  return [low - pad, high + pad];
}

/** Frame, level lines with their figures, and what the panel shows with its unit. */
export function panelFrame(panel: Panel, title: string): Mark[] {
  const { left, right, top, bottom } = panel;
  const ticks = tickValues(panel.low, panel.high, Math.max(3, Math.round((bottom - top) / 20)));
  return [
    ...ticks.values.flatMap((value): Mark[] => [
      {
        mark: 'line',
        through: [
          [left, panel.y(value)],
          [right, panel.y(value)],
        ],
        ink: 'rule',
        width: 0.4,
      },
      {
        mark: 'text',
        at: [left - 4, panel.y(value) + 2.4],
        text: signed(value, ticks.digits),
        size: 7,
        anchor: 'end',
        ink: 'quiet',
      },
    ]),
    {
      mark: 'line',
      through: [
        [left, top],
        [left, bottom],
        [right, bottom],
      ],
      ink: 'quiet',
      width: 0.6,
    },
    { mark: 'text', at: [left, top - 4], text: title, size: 7.5, anchor: 'start', ink: 'ink' },
  ];
}

/** Figures along the foot of a panel. */
export function footTicks(
  panel: Panel,
  ticks: readonly { readonly at: number; readonly text: string }[],
): Mark[] {
  return ticks.flatMap(({ at, text }): Mark[] => [
    {
      mark: 'line',
      through: [
        [panel.x(at), panel.bottom],
        [panel.x(at), panel.bottom + 3],
      ],
      ink: 'quiet',
      width: 0.6,
    },
    { mark: 'text', at: [panel.x(at), panel.bottom + 10.5], text, size: 7, anchor: 'middle', ink: 'quiet' },
  ]);
}
