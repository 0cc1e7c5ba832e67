import type { SpectrumSegment } from './spectrumSegment.ts';

/** Where a channel lies. */
export interface ChannelPlace {
  readonly centreMhz: number;
  readonly widthMhz: number;
}

interface Bin {
  readonly hz: number;
  readonly spacingHz: number;
  /** mV² at one ohm's worth per hertz: 10^(dBmV/10) / Hz. */
  readonly density: number;
}

/** With less of a channel than this measured, its power isn't known. */
const LEAST_COVERED = 0.98;

/**
 * Power of each channel, dBmV, to the hundredth: the density of each bin (its power over its equivalent noise bandwidth) times the part
 * of the channel that is nearest to it. Where segments meet or overlap, neighbours share what lies between them, so nothing
 * counts twice. Null where the spectrum doesn't reach over the whole channel.
 */
export function channelPowers(
  segments: readonly SpectrumSegment[],
  channels: readonly ChannelPlace[],
): (number | null)[] {
  const bins = segments.flatMap(binsOf).sort((a, b) => a.hz - b.hz);
  return channels.map(({ centreMhz, widthMhz }) => {
    const [lowHz, highHz] = [(centreMhz - widthMhz / 2) * 1e6, (centreMhz + widthMhz / 2) * 1e6];
    let power = 0;
    let coveredHz = 0;
    for (let i = firstAbove(bins, lowHz - 2 * widthMhz * 1e6); i < bins.length; i++) {
      const [fromHz, toHz] = stretchOf(bins, i);
      if (fromHz >= highHz) break;
      const widthHz = Math.min(toHz, highHz) - Math.max(fromHz, lowHz);
      if (widthHz <= 0) continue;
      power += bins[i]!.density * widthHz;
      coveredHz += widthHz;
    }
    if (power === 0 || coveredHz < LEAST_COVERED * (highHz - lowHz)) return null;
    return Math.round(1000 * Math.log10(power)) / 100;
  });
}

function binsOf({ centreHz, spacingHz, noiseBandwidthHz, levelDbmv }: SpectrumSegment): Bin[] {
  const middle = (levelDbmv.length - 1) / 2;
  return levelDbmv.map((level, i) => ({
    hz: centreHz + (i - middle) * spacingHz,
    spacingHz,
    density: 10 ** (level / 10) / noiseBandwidthHz,
  }));
}

/** What a bin speaks for: up to half-way to its neighbours, and half its own spacing at the most. */
function stretchOf(bins: readonly Bin[], i: number): [fromHz: number, toHz: number] {
  const { hz, spacingHz } = bins[i]!;
  const below = bins[i - 1];
  const above = bins[i + 1];
  return [
    Math.max(hz - spacingHz / 2, below === undefined ? Number.NEGATIVE_INFINITY : (below.hz + hz) / 2),
    Math.min(hz + spacingHz / 2, above === undefined ? Number.POSITIVE_INFINITY : (hz + above.hz) / 2),
  ];
}

function firstAbove(bins: readonly Bin[], hz: number): number {
  let [low, high] = [0, bins.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (bins[middle]!.hz < hz) low = middle + 1;
    else high = middle;
  }
  return low;
}
