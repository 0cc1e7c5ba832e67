import fc from 'fast-check';
import { expect, test } from 'vitest';
import { parseIntegers } from '../../../api/engine/parseIntegers.ts';

test('any array that PostgreSQL writes is read back', () => {
  const values = fc.array(fc.option(fc.integer({ min: -32768, max: 32767 })));
  fc.assert(
    fc.property(values, (array) => {
      const text = `{${array.map((value) => value ?? 'NULL').join(',')}}`;
      const expected = array.map((value) => (value === null ? null : value / 100 + 0));
      expect(parseIntegers(text, 100, array.length).map((value) => value && value + 0)).toEqual(expected);
    }),
  );
});
