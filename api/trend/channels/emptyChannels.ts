import type { ChannelTrend, Recent } from './channelTrend.ts';
import { BASELINE_SWEEPS, INSTRUMENT_DB, LEVEL_NOISE_DB, MER_NOISE_DB } from './tuning.ts';

/** The per-channel state of a point whose baseline has just been accepted. */
export function emptyChannels(): ChannelTrend {
  return {
    channels: '',
    freqMhz: [],
    level: emptyRecent(LEVEL_NOISE_DB),
    mer: emptyRecent(MER_NOISE_DB),
    block: null,
    history: [],
    blockInflation: 1,
    learnUntilMs: null,
    scannedMs: 0,
    suspectedMs: null,
    latestMs: [],
    conclusions: [],
    counted: 0,
  };
}

function emptyRecent(noiseDb: number): Recent {
  return { sweeps: 0, meanCdb: [], normalMdb: [], normalSweeps: BASELINE_SWEEPS, noiseDb };
}

/**
 * Another instrument reads from now on: what it shows of each channel is learnt again, near what was normal before. Conclusions
 * stay open.
 */
export function resetChannels(trend: ChannelTrend): void {
  trend.history = [];
  trend.block = null;
  trend.learnUntilMs = null;
  trend.latestMs = [];
  trend.suspectedMs = null;
  for (const recent of [trend.level, trend.mer]) {
    recent.sweeps = 0;
    const worthNow = (recent.noiseDb / INSTRUMENT_DB) ** 2;
    recent.normalSweeps = Math.min(recent.normalSweeps, Math.round(1000 * worthNow) / 1000);
  }
}
