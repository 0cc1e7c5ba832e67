import { expect, test } from 'vitest';
import { canonicalJson } from '../../../api/reports/canonicalJson.ts';

test('the order of keys and the white space of the source make no difference', () => {
  const a = { b: [1, { d: null, c: 'x' }], a: 0.1 };
  const b = JSON.parse('{ "a": 1e-1, "b": [1.0, { "c": "\\u0078", "d": null }] }');
  expect(canonicalJson(a)).toBe('{"a":0.1,"b":[1,{"c":"x","d":null}]}');
  expect(canonicalJson(b)).toBe(canonicalJson(a));
});

test('the order of a list does', () => {
  expect(canonicalJson([1, 2])).not.toBe(canonicalJson([2, 1]));
});

test('minus zero is zero, and an undefined field is none', () => {
  expect(canonicalJson({ a: -0, b: undefined })).toBe('{"a":0}');
});

test('it reads back as what it was made of', () => {
  const value = { at: '2026-03-01T12:00:00.000Z', text: '−3 dB, "≥"', list: [null, true, 1e21, -1.5e-7] };
  expect(JSON.parse(canonicalJson(value))).toEqual(value);
});

test('a number that JSON has no word for is refused', () => {
  expect(() => canonicalJson({ a: Number.NaN })).toThrow(RangeError);
  expect(() => canonicalJson([Infinity])).toThrow(RangeError);
});
