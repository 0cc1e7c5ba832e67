import { describe, expect, test } from 'vitest';
import { inTreeOrder, treeFaults } from '../../../api/setup/pointTree.ts';

const handoff = { pointId: 1, kind: 'handoff', fedBy: null } as const;
const gear = { pointId: 2, kind: 'gear-input', fedBy: 1 } as const;
const riser = { pointId: 3, kind: 'amplifier', fedBy: 2 } as const;

describe('a sound tree', () => {
  test('begins with the handoff', () => {
    expect(treeFaults({ ...handoff, pointId: null }, [])).toEqual({});
    expect(treeFaults({ pointId: null, kind: 'outlet', fedBy: null }, [])).toHaveProperty('kind');
  });

  test('has one handoff', () => {
    expect(treeFaults({ ...handoff, pointId: null }, [handoff, gear])).toHaveProperty('kind');
  });

  test('keeps its handoff: it can change neither kind nor feeder', () => {
    expect(treeFaults({ ...handoff, kind: 'outlet', fedBy: 2 } as never, [gear])).toHaveProperty('kind');
    expect(treeFaults({ ...handoff, fedBy: 2 } as never, [gear])).toHaveProperty('fedBy');
  });

  test('feeds every other point from a point of the same site', () => {
    expect(treeFaults({ pointId: null, kind: 'outlet', fedBy: 3 }, [handoff, gear, riser])).toEqual({});
    expect(treeFaults({ pointId: null, kind: 'outlet', fedBy: null }, [handoff])).toHaveProperty('fedBy');
    expect(treeFaults({ pointId: null, kind: 'outlet', fedBy: 99 }, [handoff])).toHaveProperty('fedBy');
  });

  test('has no circle, however long', () => {
    expect(treeFaults({ ...gear, fedBy: 2 }, [handoff, riser])).toHaveProperty('fedBy');
    expect(treeFaults({ ...gear, fedBy: 3 }, [handoff, riser])).toHaveProperty('fedBy');
    const outlet = { pointId: 4, kind: 'outlet', fedBy: 3 } as const;
    expect(treeFaults({ ...gear, fedBy: 4 }, [handoff, riser, outlet])).toHaveProperty('fedBy');
    expect(treeFaults({ ...riser, fedBy: 1 }, [handoff, gear, outlet])).toEqual({});
  });
});

test('tree order puts each point before those that it feeds', () => {
  const points = [
    { pointId: 5, fedBy: 4 },
    { pointId: 2, fedBy: 1 },
    { pointId: 4, fedBy: 2 },
    { pointId: 1, fedBy: null },
    { pointId: 3, fedBy: 1 },
  ];
  expect(inTreeOrder(points).map(({ pointId }) => pointId)).toEqual([1, 2, 4, 5, 3]);
});
