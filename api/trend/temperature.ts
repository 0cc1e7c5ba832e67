import type { MetricState } from './state.ts';

const DAYS = 30;
const FEWEST_HOURS = 5;
/** What cable does to level or tilt is of this order, dB/°C: the scale of the doubt while leverage is small. */
const USUAL_DB_PER_DEGREE = 0.05;
const MAD_TO_SD = 1.4826;

/**
 * Learns from one day how a metric follows the air temperature. Both are taken about the day's own straight line, so
 * neither a season nor a slow fault is learnt; the days' slopes are combined by a weighted median, so that a fault
 * that happens to fall on a warm afternoon is outvoted; and the result is drawn to zero until enough degrees have been seen.
 * Changes `m`; returns by how much dB/°C the coefficient moved.
 */
export function learnTemperature(
  m: MetricState,
  hours: readonly number[],
  ambientC: readonly (number | null)[],
  deviationDb: readonly (number | null)[],
): number {
  const x: number[] = [];
  const a: number[] = [];
  const d: number[] = [];
  for (let i = 0; i < hours.length; i++) {
    const ambient = ambientC[i];
    const deviation = deviationDb[i];
    if (ambient == null || deviation == null) continue;
    x.push(hours[i]!);
    a.push(ambient);
    d.push(deviation);
  }
  if (x.length < FEWEST_HOURS) return 0;

  const warm = aboutOwnLine(x, a);
  const moved = aboutOwnLine(x, d);
  const leverage = warm.reduce((sum, value) => sum + value * value, 0);
  if (leverage < 1) return 0;
  const slope = warm.reduce((sum, value, i) => sum + value * moved[i]!, 0) / leverage;
  m.dailySlopes.push([Math.round(slope * 1e5) / 1e5, Math.round(leverage)]);
  if (m.dailySlopes.length > DAYS) m.dailySlopes.shift();
  return combine(m);
}

function combine(m: MetricState): number {
  const total = m.dailySlopes.reduce((sum, [, leverage]) => sum + leverage, 0);
  const slope = weightedMedian(m.dailySlopes);
  const spread = weightedMedian(m.dailySlopes.map(([value, weight]) => [Math.abs(value - slope), weight]));
  const doubt = (Math.max(m.swing, 0.05) / USUAL_DB_PER_DEGREE) ** 2;
  const before = m.perDegree;
  m.perDegree = (slope * total) / (total + doubt);
  m.perDegreeError =
    (1.25 * MAD_TO_SD * spread) / Math.sqrt(m.dailySlopes.length) +
    (USUAL_DB_PER_DEGREE * doubt) / (total + doubt);
  return m.perDegree - before;
}

function aboutOwnLine(x: readonly number[], y: readonly number[]): number[] {
  const n = x.length;
  const meanX = x.reduce((a, b) => a + b, 0) / n;
  const meanY = y.reduce((a, b) => a + b, 0) / n;
  let xx = 0;
  let xy = 0;
  for (let i = 0; i < n; i++) {
    xx += (x[i]! - meanX) ** 2;
    xy += (x[i]! - meanX) * (y[i]! - meanY);
  }
  const slope = xx > 0 ? xy / xx : 0;
  return y.map((value, i) => value - meanY - slope * (x[i]! - meanX));
}

function weightedMedian(pairs: readonly (readonly [value: number, weight: number])[]): number {
  const sorted = [...pairs].sort((a, b) => a[0] - b[0]);
  const half = sorted.reduce((sum, [, weight]) => sum + weight, 0) / 2;
  let sum = 0;
  for (const [value, weight] of sorted) {
    sum += weight;
    if (sum >= half) return value;
  }
  return 0;
}
