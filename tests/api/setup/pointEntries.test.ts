import { describe, expect, test } from 'vitest';
import { type PointEntry, resolveEntries } from '../../../api/setup/pointEntries.ts';
import type { PointFieldsWithId } from '../../../api/setup/points.ts';

const handoff: PointEntry = { name: 'handoff', kind: 'handoff', fedBy: null };
const amp: PointEntry = { name: 'amp', kind: 'amplifier', fedBy: 'handoff' };
const room: PointEntry = { name: 'room', kind: 'outlet', fedBy: 'amp', outlets: 4 };
const known: PointFieldsWithId[] = [
  { ...blank('handoff', 7), kind: 'handoff', fedBy: null },
  { ...blank('amp', 8), kind: 'amplifier', fedBy: 7, label: 'Riser', intervalS: 300 },
];
function blank(name: string, pointId: number) {
  const rest = { outlets: 0, intervalS: 900, correctsItself: false, correctionWindowDb: null, hopNote: '' };
  return { pointId, name, label: '', ...rest };
}
const faultsOf = (entries: PointEntry[], points = [] as PointFieldsWithId[]) =>
  resolveEntries(entries, points).faults.map(({ index, field, problem }) => `${index} ${field}: ${problem}`);

test('entries in any order come out feeders first', () => {
  const { points, faults } = resolveEntries([room, amp, handoff], []);
  expect(faults).toEqual([]);
  expect(points.map(({ after, fedBy }) => [after.name, fedBy])).toEqual([
    ['handoff', null],
    ['amp', 'handoff'],
    ['room', 'amp'],
  ]);
});

test('a point that is known keeps what the entry does not give', () => {
  const { points } = resolveEntries([{ name: 'amp', hopNote: '62 m' }, room], known);
  expect(points[0]).toMatchObject({
    before: { pointId: 8 },
    after: { label: 'Riser', intervalS: 300, hopNote: '62 m', kind: 'amplifier' },
    fedBy: 'handoff',
  });
  expect(points[1]).toMatchObject({ before: null, after: { outlets: 4, intervalS: 900 }, fedBy: 'amp' });
});

describe('refused is', () => {
  test.each([
    ['a tree without a handoff', [amp], '0 fedBy: there is no point "handoff" at the site: name one of amp'],
    [
      'a second handoff',
      [handoff, { ...handoff, name: 'other' }],
      '0 kind: the site has its handoff already',
    ],
    [
      'a handoff that is fed',
      [{ ...handoff, fedBy: 'amp' }, amp],
      '0 fedBy: the handoff is fed by the provider',
    ],
    ['a point twice', [handoff, amp, amp], '2 name: "amp" stands here twice'],
    ['a point without a kind', [handoff, { name: 'x', fedBy: 'handoff' }], '1 kind: is missing'],
    ['a point that nothing feeds', [handoff, { ...amp, fedBy: null }], '1 fedBy: is missing'],
    ['a loop', [handoff, { ...amp, fedBy: 'room' }, room], '1 fedBy: that point is fed by this one'],
    [
      'gear without its window',
      [handoff, { ...amp, correctsItself: true }],
      '1 correctionWindowDb: is missing',
    ],
  ] as [string, PointEntry[], string][])('%s', (_, entries, fault) => {
    const faults = faultsOf(entries);
    expect(faults.some((said) => said.startsWith(fault))).toBe(true);
    expect(resolveEntries(entries, []).points).toEqual([]);
  });
});
