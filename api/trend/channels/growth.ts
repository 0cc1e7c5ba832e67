import { DAY_MS } from '../types.ts';
import type { ChannelConclusion } from './channelTrend.ts';
import { amplitudeOfSize } from './shapeValues.ts';

/** Share of the stretch that lies after the onset. */
export function shareAfter(onsetMs: number, fromMs: number, toMs: number): number {
  if (toMs <= fromMs) return toMs >= onsetMs ? 1 : 0;
  return Math.min(1, Math.max(0, (toMs - onsetMs) / (toMs - fromMs)));
}

/** Mean over the stretch of the days gone by since the onset, 0 before it. */
export function meanDaysAfter(onsetMs: number, fromMs: number, toMs: number): number {
  if (toMs <= onsetMs) return 0;
  const from = Math.max(fromMs, onsetMs);
  const middleDays = ((from + toMs) / 2 - onsetMs) / DAY_MS;
  return middleDays * shareAfter(onsetMs, fromMs, toMs);
}

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
