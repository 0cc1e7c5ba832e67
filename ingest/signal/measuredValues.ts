/**
 * The values that were measured, in their order; nulls are left out.
 * Throws RangeError when a value is neither null nor finite.
 */
export function measuredValues(values: readonly (number | null)[]): Float64Array {
  const measured = new Float64Array(values.length);
  let count = 0;
  for (let i = 0; i < values.length; i++) {
    const value = values[i]!;
    if (value === null) continue;
    if (!Number.isFinite(value)) throw new RangeError(`value ${i} is ${value}; use null for "not measured"`);
    measured[count++] = value;
  }
  return measured.subarray(0, count);
}
