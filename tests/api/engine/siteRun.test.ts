import { expect, test } from 'vitest';
import { changedStates, startRun } from '../../../api/engine/siteRun.ts';
import { emptySiteTrend, type PointTrend, type SiteTrend } from '../../../api/trend/siteTrend.ts';

function givenTrend(): SiteTrend {
  const point = (lastMs: number) => ({ lastMs, gapMs: 900_000 }) as Partial<PointTrend> as PointTrend;
  return { ...emptySiteTrend(), points: { 1: point(5), 2: point(6), 3: point(7) } };
}

test('states of points with news are written, and of others when a neighbour’s sweep changed them', () => {
  const run = startRun({ trend: givenTrend(), startedMs: 7, rewound: false, pointIds: [1] });
  expect(changedStates(run).map(({ pointId }) => pointId)).toEqual([1]);
  run.trend.points[3]!.gapMs = 1_000_000;
  expect(changedStates(run).map(({ pointId }) => pointId)).toEqual([1, 3]);
});

test('after going back every state is written', () => {
  const run = startRun({ trend: givenTrend(), startedMs: 7, rewound: true, pointIds: [1, 2, 3] });
  expect(changedStates(run).map(({ pointId, lastMs }) => [pointId, lastMs])).toEqual([
    [1, 5],
    [2, 6],
    [3, 7],
  ]);
});
