import { normalCdf, normalDensity } from '../../api/trend/statistics/normal.ts';

/**
 * How many independent standard normal observations a CUSUM takes on average until it signals, starting from
 * zero: the run length. `k` is the allowance, `h` the threshold, `shift` the true mean, all in standard
 * deviations. Two-sided: signals on either side.
 *
 * Solves Page's integral equation by Gauss-Legendre quadrature; the two sides combine by reciprocals
 * (E. S. Page, Biometrika 41, 1954; van Dobben de Bruyn, 1968).
 * @example cusumRunLength(0.5, 5, 1) // 10.4
 */
export function cusumRunLength(k: number, h: number, shift: number): number {
  if (!(k >= 0) || !(h > 0)) throw new RangeError('k must not be negative and h must be above zero');
  return 1 / (1 / oneSidedRunLength(k, h, shift) + 1 / oneSidedRunLength(k, h, -shift));
}

/** The same for the upper side alone. */
export function oneSidedRunLength(k: number, h: number, shift: number): number {
  const { nodes, weights } = gaussLegendre(Math.max(24, Math.ceil(6 * h)), 0, h);
  const points = [0, ...nodes];
  const matrix = points.map((z, row) => [
    (row === 0 ? 1 : 0) - normalCdf(k - z - shift),
    ...nodes.map((y, i) => (row === i + 1 ? 1 : 0) - weights[i]! * normalDensity(y + k - z - shift)),
    1,
  ]);
  return solve(matrix)[0]!;
}

function gaussLegendre(count: number, low: number, high: number) {
  const nodes: number[] = [];
  const weights: number[] = [];
  for (let i = 0; i < count; i++) {
    let x = Math.cos((Math.PI * (i + 0.75)) / (count + 0.5));
    let slope = 1;
    for (let step = 1; Math.abs(step) > 1e-15; x -= step) {
      let before = 1;
      let value = x;
      for (let n = 2; n <= count; n++) {
        [before, value] = [value, ((2 * n - 1) * x * value - (n - 1) * before) / n];
      }
      slope = (count * (x * value - before)) / (x * x - 1);
      step = value / slope;
      if (Math.abs(step) < 1e-14) break;
    }
    nodes.push(low + ((high - low) * (x + 1)) / 2);
    weights.push((high - low) / ((1 - x * x) * slope * slope));
  }
  return { nodes, weights };
}

/** Gaussian elimination with partial pivoting; each row ends in its right-hand side. */
function solve(rows: number[][]): number[] {
  const size = rows.length;
  for (let column = 0; column < size; column++) {
    let pivot = column;
    for (let row = column + 1; row < size; row++) {
      if (Math.abs(rows[row]![column]!) > Math.abs(rows[pivot]![column]!)) pivot = row;
    }
    [rows[column], rows[pivot]] = [rows[pivot]!, rows[column]!];
    const from = rows[column]!;
    for (let row = column + 1; row < size; row++) {
      const target = rows[row]!;
      const factor = target[column]! / from[column]!;
      if (factor === 0) continue;
      for (let i = column; i <= size; i++) target[i]! -= factor * from[i]!;
    }
  }
  const solution = new Array<number>(size).fill(0);
  for (let row = size - 1; row >= 0; row--) {
    let value = rows[row]![size]!;
    for (let i = row + 1; i < size; i++) value -= rows[row]![i]! * solution[i]!;
    solution[row] = value / rows[row]![row]!;
  }
  return solution;
}
