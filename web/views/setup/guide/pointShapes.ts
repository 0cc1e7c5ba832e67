import type { NewPointTreeInput } from '../../../../api/schemas/siteSetup.ts';

type NewPoint = NewPointTreeInput['points'][number];

/** A tree of points that is often met, to begin with. */
export interface PointShape {
  readonly id: string;
  readonly name: string;
  readonly words: string;
  /** What is counted, such as "Floors"; null where the shape has one size. */
  readonly counts: string | null;
  readonly usual: number;
  readonly points: (count: number) => NewPoint[];
}

export const MOST_BRANCHES = 40;

const handoff: NewPoint = { name: 'handoff', label: 'Handoff', kind: 'handoff' };
const branches = (count: number) =>
  Array.from({ length: Math.min(MOST_BRANCHES, Math.max(1, Math.round(count))) }, (_, i) => i + 1);

export const POINT_SHAPES: readonly PointShape[] = [
  {
    id: 'one-amplifier',
    name: 'One amplifier',
    words: 'Handoff, one amplifier, the nearest outlet and the farthest.',
    counts: null,
    usual: 1,
    points: () => [
      handoff,
      { name: 'amp', label: 'Amplifier', kind: 'amplifier', fedBy: 'handoff' },
      { name: 'outlet-near', label: 'Nearest outlet', kind: 'outlet', fedBy: 'amp' },
      { name: 'outlet-far', label: 'Farthest outlet', kind: 'outlet', fedBy: 'amp' },
    ],
  },
  {
    id: 'riser',
    name: 'Riser with floors',
    words:
      'Handoff, the amplifier at the foot of the riser, a splitter on each floor with one outlet behind it.',
    counts: 'Floors',
    usual: 4,
    points: (count) => [
      handoff,
      { name: 'riser-amp', label: 'Riser amplifier', kind: 'amplifier', fedBy: 'handoff' },
      ...branches(count).flatMap((floor): NewPoint[] => [
        { name: `floor-${floor}`, label: `Splitter, floor ${floor}`, kind: 'splitter', fedBy: 'riser-amp' },
        { name: `outlet-${floor}`, label: `Outlet, floor ${floor}`, kind: 'outlet', fedBy: `floor-${floor}` },
      ]),
    ],
  },
  {
    id: 'campus',
    name: 'Several buildings behind one handoff',
    words: 'Handoff, input and output of the gear behind it, an amplifier in each building with one outlet.',
    counts: 'Buildings',
    usual: 3,
    points: (count) => [
      handoff,
      { name: 'gear-in', label: 'Gear input', kind: 'gear-input', fedBy: 'handoff' },
      { name: 'gear-out', label: 'Gear output', kind: 'gear-output', fedBy: 'gear-in' },
      ...branches(count).flatMap((house): NewPoint[] => [
        {
          name: `house-${house}`,
          label: `Amplifier, building ${house}`,
          kind: 'amplifier',
          fedBy: 'gear-out',
        },
        {
          name: `outlet-${house}`,
          label: `Outlet, building ${house}`,
          kind: 'outlet',
          fedBy: `house-${house}`,
        },
      ]),
    ],
  },
];
