/** Up to here an insertion sort is quicker than selection. */
const FEW = 20;

/**
 * Median of the first `count` values, by selection; their order is lost. The mean of the two middle ones when
 * `count` is even. NaN when `count` is 0. O(n) on average, and allocates nothing: for the hot paths.
 */
export function medianInPlace(values: Float64Array, count: number = values.length): number {
  if (count === 0) return Number.NaN;

  const upper = count >> 1;
  if (count <= FEW) {
    sortFewInPlace(values, count);
    return (values[(count - 1) >> 1]! + values[upper]!) / 2;
  }
  selectInPlace(values, count, upper);
  const high = values[upper]!;
  if (count % 2 === 1) return high;

  let low = values[0]!;
  for (let i = 1; i < upper; i++) if (values[i]! > low) low = values[i]!;
  return (low + high) / 2;
}

function sortFewInPlace(values: Float64Array, count: number): void {
  for (let i = 1; i < count; i++) {
    const value = values[i]!;
    let j = i - 1;
    while (j >= 0 && values[j]! > value) {
      values[j + 1] = values[j]!;
      j--;
    }
    values[j + 1] = value;
  }
}

/** Hoare's selection: puts the k-th smallest at k, smaller ones before it, larger ones behind it. */
function selectInPlace(values: Float64Array, count: number, k: number): void {
  let left = 0;
  let right = count - 1;
  while (left < right) {
    const pivot = values[(left + right) >> 1]!;
    let i = left;
    let j = right;
    while (i <= j) {
      while (values[i]! < pivot) i++;
      while (values[j]! > pivot) j--;
      if (i <= j) {
        const held = values[i]!;
        values[i] = values[j]!;
        values[j] = held;
        i++;
        j--;
      }
    }
    if (k <= j) right = j;
    else if (k >= i) left = i;
    else return;
  }
}
