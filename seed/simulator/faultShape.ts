import type { Fault } from './fault.ts';
import { faultSizeDb, isPresent } from './fault.ts';
import { seedFrom, uniformAt } from './random.ts';

const SHAPE_TOP_MHZ = 1000;
const SHAPE_BOTTOM_MHZ = 54;
const MINUTE_MS = 60_000;

/** Adds what `fault` does to the level of each carrier at `atMs` to `levelDbmv`, in place. */
export function addFault(
  fault: Fault,
  seed: number,
  atMs: number,
  freqMhz: readonly number[],
  levelDbmv: Float64Array,
): void {
  const change = levelChangeDb(fault, seed, atMs);
  if (change === null) return;
  for (let index = 0; index < levelDbmv.length; index += 1) {
    levelDbmv[index]! += change(freqMhz[index]!);
  }
}

function levelChangeDb(fault: Fault, seed: number, atMs: number): ((freqMhz: number) => number) | null {
  const sizeDb = faultSizeDb(fault, atMs);
  const { shape } = fault;
  if (shape.kind === 'loose-contact') return isDip(fault, seed, atMs) ? () => fault.sizeDb : null;
  if (sizeDb === 0) return null;

  switch (shape.kind) {
    case 'flat':
      return () => sizeDb;
    case 'cable':
      return (freqMhz) => sizeDb * Math.sqrt(freqMhz / SHAPE_TOP_MHZ);
    case 'low-end':
      return seriesCapacitor(sizeDb);
    case 'notch':
      return (freqMhz) => sizeDb / (1 + ((2 * (freqMhz - shape.centreMhz)) / shape.widthMhz) ** 2);
    case 'ripple':
      return echo(sizeDb, shape.delayNs);
    default:
      return null;
  }
}

/** Whether a loose contact is open at `atMs`. */
export function isDip(fault: Fault, seed: number, atMs: number): boolean {
  if (fault.shape.kind !== 'loose-contact' || !isPresent(fault, atMs)) return false;
  const spell = Math.floor(atMs / (fault.shape.spellMinutes * MINUTE_MS));
  return uniformAt(seedFrom(seed, 'loose contact'), spell) < fault.shape.share;
}

/**
 * A bad contact as a small capacitor in series with a matched line: |S21|² = 1 / (1 + (fc/f)²), from the voltage
 * divider of 1/(2πfC) between two equal resistances. `fc` follows from the loss wanted at 54 MHz.
 */
function seriesCapacitor(sizeDb: number): (freqMhz: number) => number {
  const cornerSquared = SHAPE_BOTTOM_MHZ ** 2 * (10 ** (Math.abs(sizeDb) / 10) - 1);
  return (freqMhz) => Math.sign(sizeDb) * 10 * Math.log10(1 + cornerSquared / freqMhz ** 2);
}

/** One echo of relative amplitude r: |1 + r·e^(−j2πfτ)|, where peak to valley is 20 log((1 + r)/(1 − r)). */
function echo(peakToValleyDb: number, delayNs: number): (freqMhz: number) => number {
  const ratio = 10 ** (peakToValleyDb / 20);
  const r = (ratio - 1) / (ratio + 1);
  return (freqMhz) => {
    const angle = 2 * Math.PI * freqMhz * delayNs * 1e-3;
    return 10 * Math.log10(1 + r * r + 2 * r * Math.cos(angle));
  };
}
