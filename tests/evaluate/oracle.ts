import { normalCdf } from '../../api/trend/statistics/normal.ts';
import { isDip } from '../../seed/simulator/faultShape.ts';
import { gaussianStream, seedFrom, uniformStream } from '../../seed/simulator/random.ts';
import { quantile } from '../support/quantile.ts';
import { oneSidedRunLength } from './cusumRunLength.ts';
import { DAY_MS, type FleetSite } from './fleet.ts';
import {
  firstInformation,
  furtherInformation,
  lastingInformation,
  type Signature,
  signatureOf,
} from './information.ts';
import type { Nature, Truth } from './plantedCase.ts';
import { rampDelay } from './rampLimit.ts';

/** One false alarm of each kind at a site in this time. */
const YEARS_BETWEEN_FALSE = 5;
/** One sweep may be wild. */
const SWEEPS_NEEDED = 2;
const REPEATS = 200;
const LONGEST_MS = 30 * DAY_MS;
/** A point that sees less than this many standard deviations in a sweep is no witness. */
const SEEN = 1;

/**
 * Median delay, ms, of an observer who is told the law of the readings when nothing is wrong (noise, its serial correlation, the
 * feed's wander, all temperatures), the fault's shape, place and pace, and who sees every point of the site; only the onset is
 * unknown. Null when no reading moves.
 *
 * - `ramp`: each round of sweeps is reduced to its best linear statistic, which is scanned over onsets (`rampDelay`).
 * - `step`: sweeps are summed to a CUSUM whose threshold comes from Page's integral equation (`oneSidedRunLength`).
 * - `loss` and `dips`: nothing else looks like it, so the second sweep that shows it is enough.
 */
export function oracleDelayMs(site: FleetSite, { fault }: Truth, nature: Nature): number | null {
  const { onsetMs } = fault;
  if (nature === 'ramp') {
    const perDay = -fault.sizeDb / fault.overDays;
    const oneDb = { ...fault, overDays: 0, sizeDb: Math.sign(fault.sizeDb) };
    const perRound = lastingInformation(site, signatureOf(site, [oneDb], onsetMs), onsetMs);
    return rampDelayMs(site, Math.sqrt(perRound * (1 - site.simulated.meter.missingSweeps)) * perDay);
  }
  const standing = nature === 'dips' ? { ...fault, shape: { kind: 'flat' } as const } : fault;
  return sweepsDelayMs(site, fault, signatureOf(site, [standing], onsetMs), nature);
}

function rampDelayMs(site: FleetSite, sdPerDay: number): number | null {
  const { intervalMs } = site.evaluated;
  const rounds = rampDelay(
    (sdPerDay * intervalMs) / DAY_MS,
    (YEARS_BETWEEN_FALSE * 365 * DAY_MS) / intervalMs,
  );
  return Number.isFinite(rounds) ? rounds * intervalMs : null;
}

/** What one point's sweeps say of the change: shift in standard deviations of its best statistic, first and later on. */
interface Witness {
  readonly phaseMs: number;
  readonly first: number;
  readonly further: number;
}

function sweepsDelayMs(
  site: FleetSite,
  fault: Truth['fault'],
  signature: Signature,
  nature: Nature,
): number | null {
  const witnesses = site.evaluated.points
    .map(({ name }) => witnessAt(site, signature, name))
    .filter(({ first }) => first >= SEEN);
  if (witnesses.length === 0) return null;

  const { intervalMs } = site.evaluated;
  const sweeps = (YEARS_BETWEEN_FALSE * 365 * DAY_MS * witnesses.length) / intervalMs;
  const threshold =
    nature === 'step' ? cusumThreshold(Math.max(...witnesses.map(({ further }) => further)), sweeps) : 0;
  const seed = seedFrom(site.simulated.seed, 'oracle');
  const delays = Array.from({ length: REPEATS }, (_, repeat) =>
    simulateDelayMs(site, fault, witnesses, threshold, seedFrom(seed, repeat)),
  );
  return quantile(delays, 0.5);
}

function witnessAt(site: FleetSite, signature: Signature, point: string): Witness {
  const phaseMs = site.phaseMs.get(point)!;
  if (signature.get(point)!.some(Number.isNaN)) {
    return { phaseMs, first: Number.POSITIVE_INFINITY, further: Number.POSITIVE_INFINITY };
  }
  return {
    phaseMs,
    first: Math.sqrt(firstInformation(site, signature, point)),
    further: Math.sqrt(furtherInformation(site, signature, point)),
  };
}

/** One history of sweeps after an onset at a random moment of the round. */
function simulateDelayMs(
  site: FleetSite,
  fault: Truth['fault'],
  witnesses: readonly Witness[],
  threshold: number,
  seed: number,
): number {
  const { intervalMs } = site.evaluated;
  const { missingSweeps } = site.simulated.meter;
  const uniform = uniformStream(seed);
  const gaussian = gaussianStream(seedFrom(seed, 'noise'));
  const onsetMs = intervalMs * uniform();
  const seen = new Set<Witness>();
  let [sum, count] = [0, 0];

  for (let roundMs = 0; roundMs < LONGEST_MS; roundMs += intervalMs) {
    for (const witness of witnesses) {
      const afterMs = roundMs + witness.phaseMs - onsetMs;
      const isThere = fault.shape.kind !== 'loose-contact' || isDip(fault, seed, fault.onsetMs + afterMs);
      if (afterMs < 0 || uniform() < missingSweeps || !isThere) continue;
      const shift = seen.has(witness) ? witness.further : witness.first;
      seen.add(witness);
      sum =
        shift === Number.POSITIVE_INFINITY ? shift : Math.max(0, sum + shift * gaussian() + shift ** 2 / 2);
      count++;
      if (count >= SWEEPS_NEEDED && sum >= threshold) return afterMs;
    }
  }
  return LONGEST_MS;
}

/** Log likelihood ratio at which a CUSUM tuned to `shift` raises one false alarm in `runLength` sweeps. */
export function cusumThreshold(shift: number, runLength: number): number {
  if (normalCdf(-shift / 2) * runLength <= 1) return 0;
  let [low, high] = [1e-3, (2 * Math.log(runLength)) / shift];
  for (let i = 0; i < 24; i++) {
    const middle = (low + high) / 2;
    if (oneSidedRunLength(shift / 2, middle, 0) < runLength) low = middle;
    else high = middle;
  }
  return shift * high;
}
