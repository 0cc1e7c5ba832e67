/** Thousandths are finer than any meter and keep the stored row short. */
export function thousandths(value: number): number {
  return Math.round(value * 1000) / 1000 + 0;
}

export function hundredths(value: number): number {
  return Math.round(value * 100) / 100 + 0;
}
