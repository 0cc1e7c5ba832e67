import { expect, test } from 'vitest';
import { codewordNotes } from '../../../../ingest/probe/modem/codewordNotes.ts';
import {
  type CodewordCounts,
  type CodewordReading,
  codewordRatios,
} from '../../../../ingest/probe/modem/codewords.ts';

const NOON = Date.parse('2026-03-01T12:00:00Z');
const QUARTER_MS = 15 * 60_000;
const WRAP = 2 ** 32;

const counts = (changes: Partial<CodewordCounts> = {}): CodewordCounts => ({
  frequencyHz: 603e6,
  unerrored: 5_000_000,
  corrected: 300,
  uncorrectable: 20,
  bits: 64,
  discontinuity: 0,
  ...changes,
});
const reading = (
  atMs: number,
  one: CodewordCounts,
  uptimeMs: number | null = atMs - NOON + 86_400_000,
): CodewordReading => ({
  atMs,
  uptimeMs,
  tuners: new Map([['48', one]]),
});
const before = reading(NOON, counts());
const later = (changes: Partial<CodewordCounts>, uptimeMs?: number | null, atMs = NOON + QUARTER_MS) =>
  reading(atMs, counts(changes), uptimeMs);
const ratio = (now: CodewordReading, then = before) => codewordRatios(then, now).get('48') ?? null;

test('what was counted between two readings gives the ratios before and after error correction', () => {
  const now = later({ unerrored: 5_000_000 + 999_000, corrected: 300 + 900, uncorrectable: 20 + 100 });
  expect(ratio(now)).toEqual({ frequencyHz: 603e6, codewords: 1_000_000, preFec: 1e-3, postFec: 1e-4 });
});

test('without errors both are 0', () => {
  expect(ratio(later({ unerrored: 6_000_000 }))).toMatchObject({ preFec: 0, postFec: 0 });
});

test('a 32-bit counter that went round counts on', () => {
  const then = reading(NOON, counts({ bits: 32, unerrored: WRAP - 400 }));
  const now = later({ bits: 32, unerrored: 590, corrected: 310 });
  expect(ratio(now, then)).toMatchObject({ codewords: 1_000, preFec: 0.01, postFec: 0 });
});

test('a 32-bit counter that may have gone round unseen says nothing', () => {
  const then = reading(NOON, counts({ bits: 32 }));
  const day = NOON + 86_400_000;
  expect(ratio(later({ bits: 32, unerrored: 9_000_000 }, undefined, day), then)).toBeNull();
  expect(ratio(later({ unerrored: 9_000_000 }, undefined, day))).not.toBeNull();
});

test.each([
  ['the modem restarted', later({ unerrored: 9_000_000 }, 60_000)],
  ['it restarted long before this reading', later({ unerrored: 9_000_000 }, 86_400_000 + QUARTER_MS / 2)],
  ['it does not say how long it runs', later({ unerrored: 9_000_000 }, null)],
  ['its counters were set back, by its own word', later({ unerrored: 9_000_000, discontinuity: 12_345 })],
  ['a counter went back', later({ unerrored: 4_000_000 })],
  ['one of three counters went back', later({ unerrored: 9_000_000, corrected: 3 })],
  ['the tuner went to another channel', later({ unerrored: 9_000_000, frequencyHz: 609e6 })],
  ['nothing was received', later({})],
  ['more was counted than a channel carries', later({ unerrored: 5_000_000 + 80_000_000 })],
  ['the 64-bit counters have gone', later({ unerrored: 9_000_000, bits: 32 })],
  ['our own clock was set back', later({ unerrored: 9_000_000 }, undefined, NOON - 1)],
])('there is no ratio when %s', (_, now) => {
  expect(ratio(now)).toBeNull();
});

test('a 32-bit counter that was set back is not taken to have gone round', () => {
  const then = reading(NOON, counts({ bits: 32, unerrored: 2_000_000_000 }));
  expect(ratio(later({ bits: 32, unerrored: 40_000 }), then)).toBeNull();
});

test('lost codewords are told by powers of ten, the worst channel first; corrected ones are no news', () => {
  const one = (mhz: number, postFec: number) => ({
    frequencyHz: mhz * 1e6,
    codewords: 1e6,
    preFec: 0.1,
    postFec,
  });
  expect(codewordNotes([one(603, 0), one(609, 0)])).toEqual([]);
  expect(
    codewordNotes([one(603, 1.2e-4), one(609, 3e-2), one(615, 0), one(621, 1e-6), one(627, 1e-7)]),
  ).toEqual([
    'codewords lost since the reading before, in spite of error correction: about 1 in 100 on 609 MHz, about 1 in 10,000 on 603 MHz, about 1 in 1,000,000 on 621 MHz, and 1 more (shown here only; a sweep has no place for it)',
  ]);
});
