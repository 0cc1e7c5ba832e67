import { echoRippleDb } from '../../../ingest/signal/echoRippleDb.ts';
import { rippleEchoDbc } from '../../../ingest/signal/rippleEchoDbc.ts';
import type { Band } from './band.ts';
import type { ChannelConclusion, ChannelShape } from './channelTrend.ts';

/** A shape of amplitude 1 dB over the channels of a band. */
export function shapeValues(band: Band, shape: ChannelShape): Float64Array {
  switch (shape.kind) {
    case 'notch':
      return Float64Array.from(
        band.freqMhz,
        (f) => 1 / (1 + ((2 * (f - shape.centreMhz)) / shape.widthMhz) ** 2),
      );
    case 'ripple':
      return Float64Array.from(band.freqMhz, (f) =>
        Math.cos(2 * Math.PI * f * shape.delayNs * 1e-3 + shape.phaseRad),
      );
    case 'channel-shift':
      return Float64Array.from(band.names, (name) => (shape.channels.includes(name) ? 1 : 0));
  }
}

/** Amplitude of an echo's first cosine, dB, over the echo's strength r. */
export const DB_PER_AMPLITUDE = 20 / Math.LN10;
/** Largest echo that a ripple is read as: nearly as strong as the signal. */
const STRONGEST_ECHO = 0.99;

/**
 * What a shape of some amplitude puts on a channel, dB, `value` being that of amplitude 1 dB. An echo of strength r makes
 * 10·log10(1 + r² + 2r·cos θ), of which its first cosine is only the larger part.
 */
export function shapeDb(kind: ChannelShape['kind'], amplitudeDb: number, value: number): number {
  if (kind !== 'ripple') return amplitudeDb * value;
  const r = Math.min(STRONGEST_ECHO, Math.abs(amplitudeDb) / DB_PER_AMPLITUDE);
  return 10 * Math.log10(1 + r * r + 2 * r * Math.sign(amplitudeDb) * value);
}

/**
 * Size as it is told from the amplitude that was fitted: of a ripple peak to valley. Its first cosine has an amplitude of
 * 20/ln 10 · r (the series of 10·log10(1 + r² + 2r·cos θ)), r the echo's strength.
 */
export function sizeOfAmplitude(kind: ChannelShape['kind'], amplitudeDb: number): number {
  if (kind !== 'ripple' || amplitudeDb === 0) return amplitudeDb;
  const r = Math.min(STRONGEST_ECHO, Math.abs(amplitudeDb) / DB_PER_AMPLITUDE);
  return Math.sign(amplitudeDb) * echoRippleDb(20 * Math.log10(r));
}

/** Undoes `sizeOfAmplitude`. */
export function amplitudeOfSize(conclusion: ChannelConclusion): number {
  const { value } = conclusion.sizeDb;
  if (conclusion.shape.kind !== 'ripple' || value === 0) return value;
  return Math.sign(value) * DB_PER_AMPLITUDE * 10 ** (rippleEchoDbc(Math.abs(value)) / 20);
}
