/** One slope for all points and an offset for each group: y = offset[group] + slope·x. */
export interface GroupedLine {
  readonly slope: number;
  /** By group; null where a group has no weight. */
  readonly offset: readonly (number | null)[];
}

/**
 * Weighted least squares for one slope shared by all groups and an offset each, from sums about each group's own
 * weighted means, so that far-off x lose no digits. With one group it is the ordinary straight line.
 *
 * @param group of each point, 0 to `groups` - 1
 * @returns null when no group spans two different x with weight
 */
export function groupedLine(
  x: Float64Array,
  y: Float64Array,
  weight: Float64Array,
  group: Uint8Array,
  groups: number,
): GroupedLine | null {
  const sumW = new Float64Array(groups);
  const meanX = new Float64Array(groups);
  const meanY = new Float64Array(groups);
  for (let i = 0; i < x.length; i++) {
    const g = group[i]!;
    const w = weight[i]!;
    sumW[g] = sumW[g]! + w;
    meanX[g] = meanX[g]! + w * x[i]!;
    meanY[g] = meanY[g]! + w * y[i]!;
  }
  for (let g = 0; g < groups; g++) {
    if (sumW[g]! === 0) continue;
    meanX[g] = meanX[g]! / sumW[g]!;
    meanY[g] = meanY[g]! / sumW[g]!;
  }

  let sumXx = 0;
  let sumXy = 0;
  for (let i = 0; i < x.length; i++) {
    const g = group[i]!;
    const dx = x[i]! - meanX[g]!;
    sumXx += weight[i]! * dx * dx;
    sumXy += weight[i]! * dx * (y[i]! - meanY[g]!);
  }
  if (!(sumXx > 0)) return null;

  const slope = sumXy / sumXx;
  const offset: (number | null)[] = [];
  for (let g = 0; g < groups; g++) offset.push(sumW[g]! > 0 ? meanY[g]! - slope * meanX[g]! : null);
  return { slope, offset };
}
