/** Correlation of each value with the next; 0 when the values are all alike or fewer than 3. */
export function lagOneCorrelation(values: readonly number[]): number {
  const n = values.length;
  if (n < 3) return 0;
  const mean = values.reduce((a, b) => a + b, 0) / n;
  let products = 0;
  let squares = 0;
  for (let i = 0; i < n; i++) {
    const deviation = values[i]! - mean;
    squares += deviation * deviation;
    if (i > 0) products += deviation * (values[i - 1]! - mean);
  }
  return squares > 0 ? products / squares : 0;
}
