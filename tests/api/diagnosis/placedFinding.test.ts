import { expect, test } from 'vitest';
import { placedFindings } from '../../../api/diagnosis/placedFinding.ts';
import {
  AMPLIFIER,
  FLOOR_3,
  FROM_PROVIDER,
  givenFinding,
  givenPlaced,
  HANDOFF,
  TREE,
} from './givenFinding.ts';

test('a hop is named by the titles of its ends', () => {
  expect(givenPlaced()).toMatchObject({
    pointTitle: 'floor 3',
    hop: { from: 'riser amplifier', to: 'floor 3' },
    alsoPossible: [],
    causeTitle: null,
  });
  expect(givenPlaced(FROM_PROVIDER).hop).toEqual({ from: null, to: 'handoff' });
});

test('other hops reach from the point that feeds their end', () => {
  expect(givenPlaced({ alsoPossible: [AMPLIFIER, HANDOFF] }).alsoPossible).toEqual([
    { from: 'handoff', to: 'riser amplifier' },
    { from: null, to: 'handoff' },
  ]);
});

test('findings come in tree order of the points that show them', () => {
  const shown = [FLOOR_3, HANDOFF, AMPLIFIER].map((pointId) => givenFinding({ ...FROM_PROVIDER, pointId }));
  const placed = placedFindings(shown, TREE);
  expect(placed.map(({ pointTitle }) => pointTitle)).toEqual(['handoff', 'riser amplifier', 'floor 3']);
});

test('a point that was taken out of the set-up is said to be', () => {
  expect(givenPlaced({ hopFrom: 99 }).hop.from).toBe('a point no longer there');
});
