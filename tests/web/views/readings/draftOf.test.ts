import { expect, test } from 'vitest';
import type { ChannelOffer } from '../../../../api/schemas/typedReadings.ts';
import { draftOf, fieldOf } from '../../../../web/views/readings/draftOf.ts';
import { figureOf, otherSign } from '../../../../web/views/readings/figure.ts';
import { EMPTY_ROW, hasFigures, type Kept } from '../../../../web/views/readings/kept.ts';

test.each([
  ['', null],
  ['  ', null],
  ['12.5', 12.5],
  ['12,5', 12.5],
  ['-3', -3],
  ['−3.5', -3.5],
  ['+4', 4],
  ['.5', 0.5],
  ['7.', 7],
  ['-', 'wrong'],
  ['1.2.3', 'wrong'],
  ['12 dBmV', 'wrong'],
  ['1e3', 'wrong'],
] as const)('the field “%s” reads as %s', (text, figure) => {
  expect(figureOf(text)).toBe(figure);
});

test.each([
  ['', '-'],
  ['3.5', '-3.5'],
  ['-3.5', '3.5'],
  ['−3.5', '3.5'],
  ['+2', '-2'],
])('the key for the sign makes “%s” “%s”', (before, after) => {
  expect(otherSign(before)).toBe(after);
});

const channels: ChannelOffer[] = [
  { channel: '2', freqMhz: 55.25, modulation: 'analogue', thenLevelDbmv: 12, thenMerDb: 46 },
  { channel: '18', freqMhz: 147, modulation: 'qam256', thenLevelDbmv: 9, thenMerDb: 38 },
];
const kept = (changes: Partial<Kept> = {}): Kept => ({
  instrument: 'meter-3',
  levelUnit: 'dBmV',
  ambient: '21,5',
  rows: [
    { ...EMPTY_ROW, mhz: '55.25', level: '12.1', quality: '46' },
    { ...EMPTY_ROW, mhz: '', level: '4' },
    { ...EMPTY_ROW, mhz: '147', level: '9', quality: '38' },
  ],
  changedAt: '2026-10-12T20:30:00.000Z',
  ...changes,
});

test('fields become figures: CNR on analogue channels, MER on the others, rows without a channel left out', () => {
  const { draft, places, faults } = draftOf(kept(), channels);
  expect(draft).toEqual({
    instrument: 'meter-3',
    levelUnit: 'dBmV',
    ambientC: 21.5,
    readings: [
      { freqMhz: 55.25, level: 12.1, merDb: null, cnrDb: 46, lost: false },
      { freqMhz: 147, level: 9, merDb: 38, cnrDb: null, lost: false },
    ],
  });
  expect(places).toEqual([0, 2]);
  expect(faults).toEqual({});
});

test('what is no number is named by its field and left out of the draft', () => {
  const rows = [{ ...EMPTY_ROW, mhz: '147', level: '9x', quality: '38' }];
  const { draft, faults } = draftOf(kept({ rows, ambient: 'warm' }), channels);
  expect(draft.readings[0]).toMatchObject({ level: null, merDb: 38 });
  expect(Object.keys(faults)).toEqual(['rows.0.level', 'ambient']);
});

test('what the server says of a field finds its row, whichever rows were left out', () => {
  const { places } = draftOf(kept(), channels);
  expect(fieldOf('readings.1.level', places)).toBe('rows.2.level');
  expect(fieldOf('readings.1.merDb', places)).toBe('rows.2.quality');
  expect(fieldOf('readings.0.freqMhz', places)).toBe('rows.0.mhz');
  expect(fieldOf('ambientC', places)).toBe('ambient');
  expect(fieldOf('instrument', places)).toBe('instrument');
});

test('a proposed channel alone is nothing that would be a loss', () => {
  const proposed = { ...EMPTY_ROW, mhz: '147' };
  expect(hasFigures(kept({ rows: [proposed] }))).toBe(false);
  expect(hasFigures(kept({ rows: [{ ...proposed, quality: '3' }] }))).toBe(true);
  expect(hasFigures(kept({ rows: [{ ...proposed, lost: true }] }))).toBe(true);
});
