import type { ChannelReading } from '../../../../api/trend/channels/channelTrend.ts';
import { smoothBasis, takeOut } from '../../../../api/trend/channels/smoothBasis.ts';
import { DAY_MS } from '../../../../api/trend/types.ts';
import { gaussianStream, uniformStream } from '../../../../seed/simulator/random.ts';

export const START_MS = Date.UTC(2026, 0, 5, 7);

export interface RestScenario {
  readonly seed: number;
  readonly days: number;
  readonly gapMs?: number;
  readonly freqMhz?: readonly number[];
  readonly levelNoiseDb?: number;
  readonly merNoiseDb?: number;
  /** Smooth leftover of temperature, largest size, dB. */
  readonly leftoverDb?: number;
  /** Adds to the level of each carrier at a time, dB. */
  readonly level?: (levelDb: Float64Array, freqMhz: readonly number[], day: number) => void;
  readonly mer?: (merDb: Float64Array, freqMhz: readonly number[], day: number) => void;
}

/** `count` channels of `stepMhz`, from 57 MHz up. */
export function raster(count: number, stepMhz: number): number[] {
  return Array.from({ length: count }, (_, i) => 57 + stepMhz * i);
}

export const EIGHTY = raster(80, 6);

/**
 * Readings of one point: white noise rounded to 0.1 dB, against a baseline of the medians of three days, one sweep in twenty and one
 * reading in two thousand missing. The smooth shapes are fitted away, and again without what lies three deviations off.
 */
export function* simulateRests(scenario: RestScenario): Generator<ChannelReading> {
  const { seed, days, gapMs = DAY_MS / 96, freqMhz = EIGHTY } = scenario;
  const { levelNoiseDb = 0.2, merNoiseDb = 0.3, leftoverDb = 0.05 } = scenario;
  const gaussian = gaussianStream(seed);
  const uniform = uniformStream(seed + 77);
  const basis = smoothBasis(freqMhz);
  const channel = freqMhz.map((f) => String(Math.round(f)));
  const reach = freqMhz[freqMhz.length - 1]! - freqMhz[0]!;
  // The standard error of a median is 1.25 times that of a mean.
  const baseline = 1.25 / Math.sqrt(3 * 96);
  const levelThen = freqMhz.map(() => 20 * uniform() - baseline * levelNoiseDb * gaussian());
  const merThen = freqMhz.map(() => -baseline * merNoiseDb * gaussian());
  const round = (value: number) => Math.round(10 * value) / 10;

  for (let atMs = START_MS; atMs < START_MS + days * DAY_MS; atMs += gapMs) {
    if (uniform() < 0.05) continue;
    const day = (atMs - START_MS) / DAY_MS;
    const level = new Float64Array(freqMhz.length);
    const mer = new Float64Array(freqMhz.length);
    scenario.level?.(level, freqMhz, day);
    scenario.mer?.(mer, freqMhz, day);
    const warm = leftoverDb * Math.sin(2 * Math.PI * day);
    for (let i = 0; i < level.length; i++) {
      const x = (freqMhz[i]! - freqMhz[0]!) / reach;
      const true_ = level[i]! + levelThen[i]! + warm * Math.sin(Math.PI * x);
      level[i] = round(true_ + levelNoiseDb * gaussian()) - levelThen[i]!;
      mer[i] = round(40 + mer[i]! + merThen[i]! + merNoiseDb * gaussian()) - 40 - merThen[i]!;
    }
    const middle = Float64Array.from(mer).sort()[mer.length >> 1]!;
    const rest = withoutSmooth(basis, level);
    yield {
      atMs,
      freqMhz,
      channel: channels(channel),
      levelRestDb: Array.from(rest, (value) => (uniform() < 0.0005 ? null : value)),
      merRestDb: Array.from(mer, (value) => (uniform() < 0.001 ? null : value - middle)),
      usualGapMs: gapMs,
    };
  }
}

const known = new Map<string, readonly string[]>();
function channels(names: readonly string[]): readonly string[] {
  const key = names.join();
  if (!known.has(key)) known.set(key, names);
  return known.get(key)!;
}

function withoutSmooth(basis: readonly Float64Array[], values: Float64Array): Float64Array {
  const first = values.slice();
  takeOut(basis, first);
  const sorted = Float64Array.from(first, Math.abs).sort();
  const limit = 3 * 1.4826 * sorted[sorted.length >> 1]!;
  const trimmed = values.slice();
  for (let i = 0; i < values.length; i++) {
    if (Math.abs(first[i]!) > limit) trimmed[i] = values[i]! - first[i]!;
  }
  const smooth = trimmed.slice();
  takeOut(basis, trimmed);
  return values.map((value, i) => value - (smooth[i]! - trimmed[i]!));
}

/** A suck-out of `sizeDb` at its centre. */
export function addNotch(centreMhz: number, widthMhz: number, sizeDb: number) {
  return (levelDb: Float64Array, freqMhz: readonly number[]) => {
    for (let i = 0; i < levelDb.length; i++) {
      levelDb[i]! += sizeDb / (1 + ((2 * (freqMhz[i]! - centreMhz)) / widthMhz) ** 2);
    }
  };
}

/** The ripple of one echo: |1 + r·e^(−j2πfτ)|², peak to valley 20·log10((1 + r)/(1 − r)). */
export function addEcho(delayNs: number, peakToValleyDb: number) {
  const ratio = 10 ** (peakToValleyDb / 20);
  const r = (ratio - 1) / (ratio + 1);
  return (levelDb: Float64Array, freqMhz: readonly number[]) => {
    for (let i = 0; i < levelDb.length; i++) {
      const angle = 2 * Math.PI * freqMhz[i]! * delayNs * 1e-3;
      levelDb[i]! += 10 * Math.log10(1 + r * r + 2 * r * Math.cos(angle));
    }
  };
}
