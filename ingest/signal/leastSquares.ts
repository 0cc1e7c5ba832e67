/** Relative to a column of unit length: below it the column is a combination of the others, to working precision. */
const SMALLEST_PIVOT = 1e-13;

/**
 * Coefficients of the linear combination of `columns` that comes nearest to `y` in the sum of squares, by Householder
 * reflections of the columns scaled to unit length: stable where normal equations lose half the digits.
 *
 * @param columns one array a coefficient, each as long as `y`; a column of ones gives an intercept
 * @returns coefficients in the order of the columns; null when there are fewer rows than columns or the columns
 *   depend on one another
 * @throws RangeError when lengths differ
 */
export function leastSquares(columns: readonly (readonly number[])[], y: readonly number[]): number[] | null {
  for (const [j, column] of columns.entries()) {
    if (column.length !== y.length) {
      throw new RangeError(`column ${j} has ${column.length} rows and y ${y.length}; give as many`);
    }
  }
  if (y.length < columns.length) return null;

  const lengths = columns.map((column) => Math.hypot(...column));
  const work = columns.map((column, j) => column.map((value) => value / lengths[j]!));
  const right = [...y];
  const diagonal: number[] = [];

  for (let k = 0; k < work.length; k++) {
    const pivot = work[k]!;
    const norm = Math.hypot(...pivot.slice(k));
    if (!(norm > SMALLEST_PIVOT)) return null;
    const head = pivot[k]! > 0 ? -norm : norm;
    diagonal.push(head);
    pivot[k] = pivot[k]! - head;
    for (let j = k + 1; j < work.length; j++) reflect(pivot, work[j]!, k);
    reflect(pivot, right, k);
  }
  return backSubstitute(work, diagonal, right).map((value, j) => value / lengths[j]!);
}

/** Applies the reflection whose vector is `vector` from row k down. */
function reflect(vector: readonly number[], target: number[], k: number): void {
  let product = 0;
  let square = 0;
  for (let i = k; i < vector.length; i++) {
    product += vector[i]! * target[i]!;
    square += vector[i]! * vector[i]!;
  }
  const factor = (2 * product) / square;
  for (let i = k; i < vector.length; i++) target[i] = target[i]! - factor * vector[i]!;
}

/** Above the diagonal the columns hold the triangle; on it and below, the reflection vectors. */
function backSubstitute(
  columns: readonly (readonly number[])[],
  diagonal: readonly number[],
  right: readonly number[],
): number[] {
  const solution = new Array<number>(columns.length).fill(0);
  for (let i = columns.length - 1; i >= 0; i--) {
    let value = right[i]!;
    for (let j = i + 1; j < columns.length; j++) value -= columns[j]![i]! * solution[j]!;
    solution[i] = value / diagonal[i]!;
  }
  return solution;
}
