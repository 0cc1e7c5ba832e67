import { expect, test } from 'vitest';
import { judgeRanges } from '../../../api/limits/judgeRanges.ts';
import { fccAnalogue } from '../../../api/limits/sets/fccAnalogue.ts';
import { federalGuide } from '../../../api/limits/sets/federalGuide.ts';

// UFGS-16785A, Table IIa: 0.5 dB over 1 h, 2 dB over 24 h. 47 CFR 76.605(a)(4): 8 dB in six months (from memory).
test('a level that moved too far is told with the limit and its source', () => {
  const told = judgeRanges(federalGuide, { hourDb: 0.62, dayDb: 2.4, halfYearDb: 9 });
  expect(told.map(({ quantity, value, limit }) => [quantity, value, limit])).toEqual([
    ['stability-1h', 0.62, 'at most 0.5 dB'],
    ['stability-24h', 2.4, 'at most 2 dB'],
  ]);
  expect(told[0]!.source).toContain('UFGS-16785A');
  const years = judgeRanges(fccAnalogue, { hourDb: 5, dayDb: 5, halfYearDb: 8.3 });
  expect(years.map(({ quantity, limit }) => [quantity, limit])).toEqual([
    ['variation-6-months', 'at most 8 dB'],
  ]);
  expect(years[0]!.source).toContain('after 47 CFR 76.605(a)(4)');
});

test('what stays within, and what can’t be told, is no miss', () => {
  expect(judgeRanges(federalGuide, { hourDb: 0.5, dayDb: 2, halfYearDb: null })).toEqual([]);
  expect(judgeRanges(federalGuide, { hourDb: null, dayDb: null, halfYearDb: null })).toEqual([]);
});
