import { gaussianStream } from '../../seed/simulator/random.ts';
import { quantile } from '../support/quantile.ts';
import { passageTimes } from './templateScan.ts';

/** Slope at which the table is made, standard deviations a step and step: other slopes are the same problem in other time. */
const SLOPE = 0.05;
const REACH = 120;
const RUNS = 150;
/** Thresholds up to here are simulated; beyond, a run length grows as e^h. */
const SIMULATED = [2, 2.5, 3, 3.5, 4, 4.5, 5];
const DELAYED = Array.from({ length: 29 }, (_, i) => 1 + i * 0.5);
const SEED = 20_250_711;

/** A ramp of slope `SLOPE`: log run length at each threshold of `SIMULATED`, and median delay at each of `DELAYED`. */
interface Table {
  readonly logRunLength: readonly number[];
  readonly delay: readonly number[];
}

let table: Table | null = null;

/**
 * Observations until a ramp of known slope and unknown onset is found, median, by the scan over onsets with one false alarm in
 * `runLength` observations; noise is independent and standard normal, `slope` its growth an observation.
 *
 * In time stretched by m = (SLOPE/slope)^(2/3) every slope looks like SLOPE, with a run length of `runLength`/m: one simulated
 * table serves all. Beyond the simulated thresholds the run length is taken to grow as e^h, as for every likelihood ratio scan
 * (D. Siegmund, Sequential Analysis, 1985, chapter II; from memory).
 */
export function rampDelay(slope: number, runLength: number): number {
  if (!(slope > 0)) return Number.POSITIVE_INFINITY;
  table ??= makeTable();
  const stretch = (SLOPE / slope) ** (2 / 3);
  const threshold = thresholdFor(Math.log(Math.max(runLength / stretch, 2)), table.logRunLength);
  return stretch * interpolate(DELAYED, table.delay, threshold);
}

function makeTable(): Table {
  const gaussian = gaussianStream(SEED);
  const template = Float64Array.from({ length: REACH }, (_, i) => SLOPE * (i + 1));
  const quiet = passageTimes(template, SIMULATED, RUNS, gaussian, () => 0);
  const ramp = passageTimes(template, DELAYED, 2 * RUNS, gaussian, (t) => SLOPE * t);
  return {
    logRunLength: SIMULATED.map((_, i) => Math.log(quiet.reduce((sum, run) => sum + run[i]!, 0) / RUNS)),
    delay: DELAYED.map(
      (_, i) =>
        quantile(
          ramp.map((run) => run[i]!),
          0.5,
        )!,
    ),
  };
}

function thresholdFor(logRunLength: number, simulated: readonly number[]): number {
  const last = SIMULATED.length - 1;
  if (logRunLength > simulated[last]!) return SIMULATED[last]! + logRunLength - simulated[last]!;
  return Math.max(DELAYED[0]!, interpolate(simulated, SIMULATED, logRunLength));
}

/** Straight lines between the knots, carried on beyond both ends. */
function interpolate(x: readonly number[], y: readonly number[], at: number): number {
  const above = x.findIndex((value) => value >= at);
  const right = above < 0 ? x.length - 1 : Math.max(1, above);
  const [x0, x1, y0, y1] = [x[right - 1]!, x[right]!, y[right - 1]!, y[right]!];
  return y0 + ((at - x0) / (x1 - x0)) * (y1 - y0);
}
