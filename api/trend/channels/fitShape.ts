import type { Band } from './band.ts';
import { takeOut } from './smoothBasis.ts';

/** How much of a template stands in a column of values. */
export interface ShapeFit {
  readonly amplitude: number;
  /** Sum of squares of the template at right angles to the smooth shapes: the amplitude's variance is a value's, over this. */
  readonly energy: number;
  /** What the template explains of the values' squares. */
  readonly explained: number;
}

/** Least-squares amplitude of `template` in `values` beside any smooth change of the band. */
export function fitShape(band: Band, template: Float64Array, values: Float64Array): ShapeFit {
  const bare = template.slice();
  takeOut(band.basis, bare);
  let product = 0;
  let energy = 0;
  for (let i = 0; i < bare.length; i++) {
    product += bare[i]! * values[i]!;
    energy += bare[i]! * bare[i]!;
  }
  if (energy < 1e-9) return { amplitude: 0, energy: 0, explained: 0 };
  return { amplitude: product / energy, energy, explained: (product * product) / energy };
}

/** Sum of squares of `values` at right angles to the smooth shapes. */
export function squaresBeside(band: Band, values: Float64Array): number {
  const bare = values.slice();
  takeOut(band.basis, bare);
  return bare.reduce((sum, value) => sum + value * value, 0);
}
