/**
 * Peak to valley about the fitted line, dB: the highest residual less the lowest. One carrier decides it, so leave lost
 * channels out (null), or they will be all that it says.
 *
 * @param residualDb of `robustLine`; null is "not measured"
 * @returns null when nothing was measured
 *
 * @example flatnessDb([0.4, null, -0.6]) // 1
 */
export function flatnessDb(residualDb: readonly (number | null)[]): number | null {
  let highest = Number.NEGATIVE_INFINITY;
  let lowest = Number.POSITIVE_INFINITY;
  for (const residual of residualDb) {
    if (residual === null) continue;
    if (residual > highest) highest = residual;
    if (residual < lowest) lowest = residual;
  }
  return highest === Number.NEGATIVE_INFINITY ? null : highest - lowest;
}
