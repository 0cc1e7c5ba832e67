/** Inks of a printed drawing; colour only for what is abnormal, and never the only sign of it. */
export const INKS = {
  ink: '#23262b',
  quiet: '#585c63',
  rule: '#d8d5ce',
  baseline: '#7b7e84',
  wash: '#ebe8e1',
  below: '#8f2c12',
  above: '#3d3190',
} as const;
export type Ink = keyof typeof INKS;

export type Place = readonly [x: number, y: number];

/** What a drawing is made of. Lengths are points (1/72 inch) from its upper left corner. */
export type Mark =
  | {
      readonly mark: 'line';
      readonly through: readonly Place[];
      readonly ink: Ink;
      readonly width: number;
      readonly dash?: readonly [number, number];
    }
  | {
      readonly mark: 'box';
      readonly at: Place;
      readonly width: number;
      readonly height: number;
      readonly ink: Ink;
    }
  | {
      readonly mark: 'dot';
      readonly at: Place;
      readonly radius: number;
      readonly ink: Ink;
      readonly hollow?: boolean;
    }
  | {
      readonly mark: 'text';
      readonly at: Place;
      readonly text: string;
      readonly size: number;
      readonly anchor: 'start' | 'middle' | 'end';
      readonly ink: Ink;
    };

export interface Drawing {
  readonly width: number;
  readonly height: number;
  /** What it shows, for whoever can't see it. */
  readonly label: string;
  readonly marks: readonly Mark[];
}
