import { describe, expect, test } from 'vitest';
import { placeFindings } from '../../../api/diagnosis/placeFindings.ts';
import type { Finding } from '../../../api/trend/types.ts';
import { AMPLIFIER, DAY, FLOOR_3, givenFinding, givenTree, HANDOFF, NOON } from './givenFinding.ts';

function place(findings: Readonly<Record<number, readonly Finding[]>>, tree = givenTree()) {
  const byPoint = new Map(Object.entries(findings).map(([id, list]) => [Number(id), list]));
  return placeFindings(byPoint, tree);
}

describe('placeFindings', () => {
  test('gives a change at the handoff to the provider', () => {
    const [placed] = place({ [HANDOFF]: [givenFinding()] });
    expect(placed).toMatchObject({
      side: 'provider',
      hop: { from: null, to: 'handoff' },
      explainedBy: null,
    });
  });

  test('explains the same change further down by the point where it begins', () => {
    const placed = place({
      [HANDOFF]: [givenFinding()],
      [AMPLIFIER]: [givenFinding({ sizeDb: -2.5 })],
      [FLOOR_3]: [givenFinding({ sizeDb: -2.9 })],
    });
    expect(placed.map(({ explainedBy }) => explainedBy)).toEqual([null, HANDOFF, HANDOFF]);
    expect(placed.map(({ side }) => side)).toEqual(['provider', 'provider', 'provider']);
  });

  test('puts a change that the point upstream does not show in the hop between the two', () => {
    const [placed] = place({ [FLOOR_3]: [givenFinding()] });
    expect(placed).toMatchObject({
      side: 'building',
      hop: { from: 'riser amplifier', to: 'floor 3' },
      explainedBy: null,
    });
  });

  test.each([
    ['the other sign', { sizeDb: 2.7 }],
    ['another metric', { metric: 'tilt' as const }],
    ['a much smaller size', { sizeDb: -0.8 }],
    ['another onset', { onsetLowMs: NOON - 9 * DAY, onsetHighMs: NOON - 8 * DAY }],
  ])('does not explain a change by one upstream of %s', (_what, changes) => {
    const placed = place({ [AMPLIFIER]: [givenFinding(changes)], [FLOOR_3]: [givenFinding()] });
    expect(placed.at(-1)).toMatchObject({ side: 'building', explainedBy: null });
  });

  test('explains a smaller MER loss below by a larger one above, and never a larger by a smaller', () => {
    const loss = (sizeDb: number) => givenFinding({ metric: 'mer', sizeDb });
    expect(place({ [AMPLIFIER]: [loss(-6)], [FLOOR_3]: [loss(-1.5)] }).at(-1)?.explainedBy).toBe(AMPLIFIER);
    expect(place({ [AMPLIFIER]: [loss(-1.5)], [FLOOR_3]: [loss(-6)] }).at(-1)?.explainedBy).toBe(null);
  });

  test('explains lost channels only when every one of them is lost upstream', () => {
    const lost = (...channels: string[]) =>
      givenFinding({ kind: 'channel-lost', metric: 'channels', evidence: { channels } });
    expect(place({ [HANDOFF]: [lost('2', '95')], [AMPLIFIER]: [lost('95')] }).at(-1)?.explainedBy).toBe(
      HANDOFF,
    );
    expect(place({ [HANDOFF]: [lost('2')], [AMPLIFIER]: [lost('2', '95')] }).at(-1)?.explainedBy).toBe(null);
  });

  test('explains whatever happens below by an outage above', () => {
    const outage = givenFinding({ kind: 'outage', metric: 'channels' });
    const placed = place({ [HANDOFF]: [outage], [FLOOR_3]: [givenFinding({ metric: 'mer' })] }, [
      ...givenTree({ [AMPLIFIER]: { hasBaseline: false } }),
    ]);
    expect(placed.at(-1)).toMatchObject({ side: 'provider', explainedBy: HANDOFF });
  });

  test('widens the hop past a point that could not have noticed', () => {
    const [placed] = place({ [FLOOR_3]: [givenFinding()] }, givenTree({ [AMPLIFIER]: { lastAtMs: null } }));
    expect(placed).toMatchObject({ side: 'building', hop: { from: 'handoff', to: 'floor 3' } });
  });

  test('is not sure when no point upstream could have noticed', () => {
    const blind = { lastAtMs: NOON - 20 * DAY };
    const [placed] = place(
      { [FLOOR_3]: [givenFinding()] },
      givenTree({ [HANDOFF]: blind, [AMPLIFIER]: blind }),
    );
    expect(placed).toMatchObject({ side: 'unsure', explainedBy: null });
  });

  test('explains a change behind gear that corrects itself by what exceeds its window', () => {
    const tree = givenTree({ [AMPLIFIER]: { correctsItself: true, correctionWindowDb: 4 } });
    const placed = place(
      { [HANDOFF]: [givenFinding({ sizeDb: -6 })], [AMPLIFIER]: [givenFinding({ sizeDb: -2 })] },
      tree,
    );
    expect(placed.at(-1)).toMatchObject({ side: 'provider', explainedBy: HANDOFF });
  });

  test('is not sure when gear that corrects itself lets through what its window should hide', () => {
    const tree = givenTree({ [AMPLIFIER]: { correctsItself: true, correctionWindowDb: 4 } });
    const placed = place({ [HANDOFF]: [givenFinding()], [AMPLIFIER]: [givenFinding()] }, tree);
    expect(placed.at(-1)).toMatchObject({ side: 'unsure', explainedBy: null });
  });

  test('explains MER that falls behind gear that corrects itself by the level that falls before it', () => {
    const tree = givenTree({ [AMPLIFIER]: { correctsItself: true, correctionWindowDb: 4 } });
    const placed = place(
      { [HANDOFF]: [givenFinding()], [AMPLIFIER]: [givenFinding({ metric: 'mer', sizeDb: -1 })] },
      tree,
    );
    expect(placed.at(-1)).toMatchObject({ side: 'provider', explainedBy: HANDOFF });
  });
});
