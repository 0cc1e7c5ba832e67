import { meanDaysAfter, shareAfter } from '../afterOnset.ts';
import { DAY_MS } from '../types.ts';
import type { ChannelConclusion } from './channelTrend.ts';
import { amplitudeOfSize } from './shapeValues.ts';

/** Mean amplitude of a conclusion over a stretch of time, dB, as far as it was known at `sizedMs`. */
export function meanAmplitude(
  conclusion: ChannelConclusion,
  sizedMs: number,
  fromMs: number,
  toMs: number,
): number {
  const nowDb = amplitudeOfSize(conclusion);
  const onsetMs = conclusion.onsetMs.value;
  if (conclusion.slopeDbPerDay === null) return nowDb * shareAfter(onsetMs, fromMs, toMs);
  const days = Math.max(1e-3, (sizedMs - onsetMs) / DAY_MS);
  return (nowDb / days) * meanDaysAfter(onsetMs, fromMs, toMs);
}

/** How large the conclusion was over a stretch, as a share of its size at `sizedMs`. */
export function meanShare(
  conclusion: ChannelConclusion,
  sizedMs: number,
  fromMs: number,
  toMs: number,
): number {
  const onsetMs = conclusion.onsetMs.value;
  if (conclusion.slopeDbPerDay === null) return shareAfter(onsetMs, fromMs, toMs);
  return meanDaysAfter(onsetMs, fromMs, toMs) / Math.max(1e-3, (sizedMs - onsetMs) / DAY_MS);
}
