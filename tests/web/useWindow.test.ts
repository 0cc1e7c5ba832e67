import { expect, test } from 'vitest';
import { rowsInView } from '../../web/useWindow.ts';
import { walkTo } from '../../web/views/site/walkable.tsx';

test('only rows in view are rendered, with spare ones on either side', () => {
  expect(rowsInView(100, 900, 100, 2000, 2)).toEqual({ first: 0, end: 10 });
  expect(rowsInView(-50_000, 900, 100, 2000, 2)).toEqual({ first: 498, end: 511 });
  expect(rowsInView(-199_500, 900, 100, 2000, 2)).toEqual({ first: 1993, end: 2000 });
});

test('a list that has grown short renders no row that is not there', () => {
  expect(rowsInView(-50_000, 900, 100, 3, 2)).toEqual({ first: 3, end: 3 });
});

test('keys walk along columns and stop at both ends', () => {
  expect(walkTo('ArrowRight', null, 5, 10)).toBe(0);
  expect(walkTo('ArrowLeft', null, 5, 10)).toBe(4);
  expect(walkTo('PageDown', 1, 5, 10)).toBe(4);
  expect(walkTo('Home', 3, 5, 10)).toBe(0);
  expect(walkTo('End', null, 5, 10)).toBe(4);
  expect(walkTo('x', 3, 5, 10)).toBeNull();
  expect(walkTo('End', null, 0, 10)).toBeNull();
});
