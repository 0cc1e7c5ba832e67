const SMALLEST_LENGTH = 1e-6;

/**
 * Orthonormal columns over the channels that span what moves a whole band smoothly: level, tilt, curvature, cable loss and a
 * falling low end. What lies in them says nothing about single channels, so every template is taken at right angles to them.
 *
 * @param freqMhz rising
 */
export function smoothBasis(freqMhz: readonly number[]): readonly Float64Array[] {
  const middle = freqMhz.reduce((sum, f) => sum + f, 0) / freqMhz.length;
  const shapes: ((f: number) => number)[] = [
    () => 1,
    (f) => f / middle - 1,
    (f) => Math.sqrt(f / middle) - 1,
    (f) => middle / f,
    (f) => (middle / f) ** 2,
  ];
  const basis: Float64Array[] = [];
  for (const shape of shapes) {
    const column = Float64Array.from(freqMhz, shape);
    const before = length(column);
    takeOut(basis, column);
    takeOut(basis, column);
    const after = length(column);
    if (after > SMALLEST_LENGTH * before) basis.push(column.map((value) => value / after));
  }
  return basis;
}

/** Takes out of `values` what lies in an orthonormal `basis`, in place. */
export function takeOut(basis: readonly Float64Array[], values: Float64Array): void {
  for (const column of basis) {
    let product = 0;
    for (let i = 0; i < column.length; i++) product += column[i]! * values[i]!;
    for (let i = 0; i < column.length; i++) values[i] = values[i]! - product * column[i]!;
  }
}

function length(values: Float64Array): number {
  let squares = 0;
  for (const value of values) squares += value * value;
  return Math.sqrt(squares);
}
