import type { LinePoints } from './linePoints.ts';

/**
 * Weighted least squares for one slope shared by all groups and an offset each: y = offset[group] + slope·x, from sums
 * about each group's own weighted means, so that far-off x lose no digits. With one group it is the ordinary
 * straight line. Writes `offset`; a group without weight keeps the one it has.
 *
 * @returns the slope; null, with nothing written, when no group spans two different x with weight
 */
export function groupedLine(points: LinePoints): number | null {
  const { count, groups, x, y, weight, group, offset, room } = points;
  const [sumW, meanX, meanY] = room;
  for (let g = 0; g < groups; g++) sumW[g] = meanX[g] = meanY[g] = 0;
  for (let i = 0; i < count; i++) {
    const g = group[i]!;
    const w = weight[i]!;
    sumW[g] = sumW[g]! + w;
    meanX[g] = meanX[g]! + w * x[i]!;
    meanY[g] = meanY[g]! + w * y[i]!;
  }
  for (let g = 0; g < groups; g++) {
    if (sumW[g] === 0) continue;
    meanX[g] = meanX[g]! / sumW[g]!;
    meanY[g] = meanY[g]! / sumW[g]!;
  }

  let sumXx = 0;
  let sumXy = 0;
  for (let i = 0; i < count; i++) {
    const g = group[i]!;
    const dx = x[i]! - meanX[g]!;
    sumXx += weight[i]! * dx * dx;
    sumXy += weight[i]! * dx * (y[i]! - meanY[g]!);
  }
  if (!(sumXx > 0)) return null;

  const slope = sumXy / sumXx;
  for (let g = 0; g < groups; g++) {
    if (sumW[g]! > 0) offset[g] = meanY[g]! - slope * meanX[g]!;
  }
  return slope;
}
