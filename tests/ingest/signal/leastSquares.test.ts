import { describe, expect, test } from 'vitest';
import { groupedLine } from '../../../ingest/signal/groupedLine.ts';
import { leastSquares } from '../../../ingest/signal/leastSquares.ts';
import { createLinePoints } from '../../../ingest/signal/linePoints.ts';
import longley from '../../reference/nistLongley.json' with { type: 'json' };
import norris from '../../reference/nistNorris.json' with { type: 'json' };
import wampler from '../../reference/nistWampler.json' with { type: 'json' };

/** Digits that a value has right, as NIST counts them: the log relative error. */
function rightDigits(value: number, certified: number): number {
  return value === certified ? 16 : -Math.log10(Math.abs((value - certified) / certified));
}

const ones = (length: number): number[] => new Array<number>(length).fill(1);
const powers = (x: number[], degree: number): number[][] =>
  Array.from({ length: degree + 1 }, (_, p) => x.map((value) => value ** p));

describe('leastSquares', () => {
  // Published: NIST StRD Norris, certified values as shipped with SciPy (read).
  test('has 11 digits and more right of NIST Norris, residual deviation included', () => {
    const { x, y, certified } = norris;
    const [b0, b1] = leastSquares([ones(x.length), x], y) as [number, number];
    expect(rightDigits(b0, certified.b0)).toBeGreaterThan(11);
    expect(rightDigits(b1, certified.b1)).toBeGreaterThan(12);
    const squares = y.reduce((sum, value, i) => sum + (value - b0 - b1 * x[i]!) ** 2, 0);
    expect(rightDigits(Math.sqrt(squares / (x.length - 2)), certified.residualSd)).toBeGreaterThan(11);
  });

  // Published: NIST StRD Longley, certified values as shipped with statsmodels (read). Its columns nearly depend on one another.
  test('has 9 digits and more right of NIST Longley', () => {
    const columns = [ones(longley.y.length), ...longley.X[0]!.map((_, j) => longley.X.map((row) => row[j]!))];
    const b = leastSquares(columns, longley.y)!;
    longley.certified.b.forEach((certified, j) => {
      expect(rightDigits(b[j]!, certified)).toBeGreaterThan(9);
    });
  });

  // Published: NIST StRD Wampler1 and 2 (after; the data define themselves): degree 5 on 0 to 20, condition near 1e7.
  test('recovers the polynomials of NIST Wampler1 and Wampler2', () => {
    const columns = powers(wampler.x, 5);
    leastSquares(columns, wampler.wampler1.y)!.forEach((value, p) => {
      expect(rightDigits(value, wampler.wampler1.b[p]!)).toBeGreaterThan(7);
    });
    leastSquares(columns, wampler.wampler2.y)!.forEach((value, p) => {
      expect(rightDigits(value, wampler.wampler2.b[p]!)).toBeGreaterThan(9);
    });
  });

  test('has no answer with too few rows or with columns that depend on one another', () => {
    expect(leastSquares([[1], [2]], [3])).toBeNull();
    expect(
      leastSquares(
        [
          [1, 2, 3],
          [2, 4, 6],
        ],
        [1, 2, 4],
      ),
    ).toBeNull();
    expect(leastSquares([[0, 0]], [1, 2])).toBeNull();
  });

  test('refuses columns of another length than y, and says which', () => {
    expect(() =>
      leastSquares(
        [
          [1, 1, 1],
          [1, 2],
        ],
        [1, 2, 3],
      ),
    ).toThrow('column 1 has 2 rows and y 3');
  });
});

describe('groupedLine', () => {
  function fit(x: number[], y: number[], group: number[], weight: number[] = ones(x.length)) {
    const points = createLinePoints(x.length);
    points.count = x.length;
    points.groups = Math.max(...group) + 1;
    points.x.set(x);
    points.y.set(y);
    points.group.set(group);
    points.weight.set(weight);
    const slope = groupedLine(points);
    return { slope, offset: [...points.offset.subarray(0, points.groups)] };
  }

  test('with one group is the certified line of NIST Norris', () => {
    const { slope, offset } = fit(
      norris.x,
      norris.y,
      norris.x.map(() => 0),
    );
    expect(rightDigits(slope!, norris.certified.b1)).toBeGreaterThan(12);
    expect(rightDigits(offset[0]!, norris.certified.b0)).toBeGreaterThan(10);
  });

  test('is what least squares gives with a column of ones for each group', () => {
    const group = norris.x.map((_, i) => i % 3);
    const y = norris.y.map((value, i) => value + 40 * group[i]!);
    const columns = [0, 1, 2].map((g) => group.map((member) => (member === g ? 1 : 0)));
    const expected = leastSquares([...columns, norris.x], y)!;
    const { slope, offset } = fit(norris.x, y, group);
    [...offset, slope!].forEach((value, j) => {
      expect(value).toBeCloseTo(expected[j]!, 9);
    });
  });

  test('ignores points without weight and has no answer without two different x', () => {
    expect(fit([0, 1, 2], [0, 1, 99], [0, 0, 0], [1, 1, 0]).slope).toBeCloseTo(1, 12);
    expect(fit([5, 5], [1, 2], [0, 0]).slope).toBeNull();
    expect(fit([5, 6], [1, 2], [0, 1]).slope).toBeNull();
  });
});
