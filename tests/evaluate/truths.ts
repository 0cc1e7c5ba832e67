import { faultSizeDb } from '../../seed/simulator/fault.ts';
import { addFault, isDip } from '../../seed/simulator/faultShape.ts';
import type { Alert } from './alert.ts';
import { cleanReadings } from './cleanReadings.ts';
import { DAY_MS, type FleetSite, withFaults } from './fleet.ts';
import type { Truth } from './plantedCase.ts';

const FARTHEST_DAYS = 900;
const BISECTIONS = 16;
const MINUTE_MS = 60_000;

/**
 * The size that `alert` should have told at `atMs`, dB: of level and tilt by a least-squares line through what the fault
 * does to each channel, of all else the fault's own size. Null where the fault doesn't move that metric by itself, and for
 * flatness, to which noise and fault don't simply add.
 */
export function trueSizeDb(
  alert: Pick<Alert, 'metric'>,
  { fault }: Truth,
  site: FleetSite,
  atMs: number,
): number | null {
  const { kind } = fault.shape;
  if (kind === 'outage' || kind === 'channels-lost' || kind === 'loose-contact') return null;
  if ((alert.metric === 'mer') !== (kind === 'noise') || alert.metric === 'flatness') return null;
  if (alert.metric !== 'level' && alert.metric !== 'tilt') return faultSizeDb(fault, atMs);

  const freqMhz = site.evaluated.channels.map(({ centreMhz }) => centreMhz);
  const changeDb = new Float64Array(freqMhz.length);
  addFault(fault, site.simulated.seed, atMs, freqMhz, changeDb);
  const { middleDb, tiltDb } = lineThrough(freqMhz, changeDb);
  return alert.metric === 'level' ? middleDb : tiltDb;
}

/** When the fault first shows: a loose contact with its first dip, all else at once. */
export function firstShownMs({ fault }: Truth, site: FleetSite): number {
  let atMs = fault.onsetMs;
  if (fault.shape.kind === 'loose-contact')
    while (!isDip(fault, site.simulated.seed, atMs)) atMs += MINUTE_MS;
  return atMs;
}

/**
 * When the faults alone, on an ordinary day, first take a channel at any point out of its level window or under the MER
 * floor, or lose it; null when that takes longer than 900 days or was so before. Holds for faults that only grow.
 */
export function limitCrossingMs(site: FleetSite, truths: readonly Truth[]): number | null {
  const onsetMs = Math.min(...truths.map(({ fault }) => fault.onsetMs));
  const isOutside = outsideAt(site, truths, onsetMs);
  if (isOutside(onsetMs - 1) || !isOutside(onsetMs + FARTHEST_DAYS * DAY_MS)) return null;
  let [insideMs, outsideMs] = [onsetMs - 1, onsetMs + FARTHEST_DAYS * DAY_MS];
  for (let i = 0; i < BISECTIONS; i++) {
    const middleMs = Math.round((insideMs + outsideMs) / 2);
    if (isOutside(middleMs)) outsideMs = middleMs;
    else insideMs = middleMs;
  }
  return outsideMs;
}

/** Feed and weather are held as they were at `ordinaryMs`, so that only the faults move. */
function outsideAt(
  site: FleetSite,
  truths: readonly Truth[],
  ordinaryMs: number,
): (faultMs: number) => boolean {
  const { levelBelowDb, levelAboveDb, merFloorDb } = site.evaluated.limits;
  const points = site.evaluated.points.map(({ name }) => name);
  const before = cleanReadings({ ...site.simulated, faults: [] });
  const then = new Map(points.map((point) => [point, before(point, ordinaryMs)]));

  return (faultMs) => {
    const faults = truths.map(({ fault }) => ({ ...fault, onsetMs: fault.onsetMs - faultMs + ordinaryMs }));
    const read = cleanReadings(withFaults(site, faults).simulated);
    return points.some((point) => {
      const now = read(point, ordinaryMs);
      const { levelDbmv } = then.get(point)!;
      return now.levelDbmv.some((level, i) => {
        const changeDb = level - levelDbmv[i]!;
        const isInside = changeDb >= -levelBelowDb && changeDb <= levelAboveDb && now.merDb[i]! >= merFloorDb;
        return !isInside;
      });
    });
  };
}

function lineThrough(x: readonly number[], y: Float64Array): { middleDb: number; tiltDb: number } {
  const meanX = x.reduce((sum, value) => sum + value, 0) / x.length;
  const meanY = y.reduce((sum, value) => sum + value, 0) / y.length;
  let product = 0;
  let squares = 0;
  x.forEach((value, i) => {
    product += (value - meanX) * (y[i]! - meanY);
    squares += (value - meanX) ** 2;
  });
  const slope = product / squares;
  const [low, high] = [x[0]!, x[x.length - 1]!];
  return { middleDb: meanY + slope * ((low + high) / 2 - meanX), tiltDb: slope * (high - low) };
}
