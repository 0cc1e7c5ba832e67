import { bandOf } from './band.ts';
import type { ChannelConclusion, ChannelTrend } from './channelTrend.ts';
import { blockDeviation, recentDeviation } from './deviations.ts';
import { fitShape } from './fitShape.ts';
import { meanShare } from './growth.ts';
import { contrast, templateOf } from './merShift.ts';
import { newestWeight, recentVariance } from './recent.ts';
import { shapeValues, sizeOfAmplitude } from './shapeValues.ts';
import { newestFirst, weighBlocks } from './slowScan.ts';
import { takeOut } from './smoothBasis.ts';

/**
 * How much of another point's conclusion this point shows, dB as of the conclusion's own size, at its latest sweep: the amplitude of the
 * same shape at the same place, weighed over time as the change went since its onset. Null before this point has been read since the
 * onset, or where it doesn't have the channels.
 */
export function effectAt(
  trend: ChannelTrend,
  conclusion: ChannelConclusion,
): { sizeDb: number; errorDb: number } | null {
  const sinceOnset = trend.latestMs.filter((ms) => ms >= conclusion.onsetMs.value).length;
  if (sinceOnset === 0) return null;
  const recent = recentEffect(trend, conclusion, sinceOnset);
  const blocks = conclusion.metric === 'level' ? blockEffect(trend, conclusion) : null;
  if (recent === null || blocks === null) return recent ?? blocks;
  return blocks.errorDb < recent.errorDb ? blocks : recent;
}

function recentEffect(trend: ChannelTrend, conclusion: ChannelConclusion, sweeps: number) {
  const band = bandOfTrend(trend);
  const recent = trend[conclusion.metric];
  const values = recentDeviation(recent, null);
  const shown = 1 - (1 - newestWeight(recent.sweeps)) ** sweeps;
  const template = conclusion.metric === 'mer' ? templateOf(band, conclusion.shape) : null;
  if (conclusion.metric === 'mer' && template === null) return null;
  const fit =
    template === null
      ? fitShape(band, shapeValues(band, conclusion.shape), values)
      : contrast(template, values);
  return effect(
    conclusion,
    fit.amplitude / shown,
    Math.sqrt(recentVariance(recent) / fit.energy) / shown,
    fit.energy,
  );
}

function blockEffect(trend: ChannelTrend, conclusion: ChannelConclusion) {
  const band = bandOfTrend(trend);
  const nowMs = trend.latestMs[0]!;
  const blocks = newestFirst(trend);
  const shares = blocks.map(({ fromMs, toMs }) => meanShare(conclusion, nowMs, fromMs, toMs));
  const deviations = blocks.map((block) => blockDeviation(trend, band, block, []));
  const sweeps = blocks.map((block) => block.sweeps);
  const window = weighBlocks(trend, deviations, sweeps, shares);
  if (window === null) return null;
  takeOut(band.basis, window.values);
  const fit = fitShape(band, shapeValues(band, conclusion.shape), window.values);
  const errorDb = window.scale * Math.sqrt(window.variance / Math.max(1e-9, fit.energy));
  return effect(conclusion, window.scale * fit.amplitude, errorDb, fit.energy);
}

function effect(conclusion: ChannelConclusion, amplitudeDb: number, errorDb: number, energy: number) {
  if (energy < 1e-6) return null;
  const { kind } = conclusion.shape;
  return {
    sizeDb: sizeOfAmplitude(kind, amplitudeDb),
    errorDb: kind === 'ripple' ? 2 * errorDb : errorDb,
  };
}

/** The band as the state remembers it. */
function bandOfTrend(trend: ChannelTrend) {
  return bandOf(trend.freqMhz, trend.channels.split(' '));
}
