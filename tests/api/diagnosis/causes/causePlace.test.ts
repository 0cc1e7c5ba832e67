import { describe, expect, test } from 'vitest';
import { causePlace, type SetUpPoint } from '../../../../api/diagnosis/causes/causePlace.ts';

const [HANDOFF, AMPLIFIER, SPLITTER, OUTLET] = [1, 2, 3, 4] as const;
const POINTS: readonly SetUpPoint[] = (
  [
    [HANDOFF, 'handoff', null, ''],
    [AMPLIFIER, 'amplifier', HANDOFF, '18 m of cable'],
    [SPLITTER, 'splitter', AMPLIFIER, '40 m in the riser'],
    [OUTLET, 'outlet', SPLITTER, ' 4-way splitter '],
  ] as const
).map(([pointId, kind, fedBy, hopNote]) => ({
  pointId,
  kind,
  fedBy,
  hopNote,
  correctsItself: pointId === AMPLIFIER,
  ambientKnown: pointId === OUTLET,
}));

describe('causePlace', () => {
  test('tells of the hop between two neighbours', () => {
    expect(causePlace({ hopFrom: SPLITTER, hopTo: OUTLET }, POINTS, 0)).toEqual({
      endsAt: 'outlet',
      startsAt: 'splitter',
      isHandoff: false,
      hopNote: '4-way splitter',
      correctsItself: false,
      ambientKnown: true,
      otherSites: 0,
    });
  });

  test('takes in the points that a wider hop leads past, in the order of the signal', () => {
    expect(causePlace({ hopFrom: HANDOFF, hopTo: OUTLET }, POINTS, 0)).toMatchObject({
      endsAt: 'amplifier',
      startsAt: 'handoff',
      hopNote: '18 m of cable; 40 m in the riser; 4-way splitter',
      correctsItself: true,
    });
  });

  test('knows the handoff, and how many other sites moved with it', () => {
    expect(causePlace({ hopFrom: null, hopTo: HANDOFF }, POINTS, 3)).toMatchObject({
      isHandoff: true,
      startsAt: null,
      hopNote: '',
      otherSites: 3,
    });
    expect(causePlace({ hopFrom: HANDOFF, hopTo: AMPLIFIER }, POINTS, 0)!.isHandoff).toBe(false);
  });

  test('has nothing to say of a point that is no longer set up', () => {
    expect(causePlace({ hopFrom: HANDOFF, hopTo: 9 }, POINTS, 0)).toBeNull();
  });

  test('ends when points feed each other in a circle', () => {
    const circle = POINTS.map((point) => (point.pointId === HANDOFF ? { ...point, fedBy: OUTLET } : point));
    expect(causePlace({ hopFrom: 9, hopTo: OUTLET }, circle, 0)!.isHandoff).toBe(false);
  });
});
