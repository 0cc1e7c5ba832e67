import type { ChannelShape, Interval } from './channelTrend.ts';

/** A shape at its likeliest place, with intervals of 80 % from the profile of the likelihood. */
export interface Placed {
  readonly shape: ChannelShape;
  /** In the values that it was fitted to. */
  readonly amplitude: Interval;
  readonly explained: number;
  readonly centreMhz: Interval | null;
  readonly widthMhz: Interval | null;
  readonly delayNs: Interval | null;
  readonly otherDelaysNs: readonly number[];
}

/** A value with the ends of what fits nearly as well, rounded outwards to thousandths. */
export function span(value: number, values: readonly number[]): Interval {
  return {
    value,
    low: Math.floor(1000 * Math.min(value, ...values)) / 1000,
    high: Math.ceil(1000 * Math.max(value, ...values)) / 1000,
  };
}
