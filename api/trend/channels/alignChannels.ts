import type { Band } from './band.ts';
import type { Block, ChannelTrend } from './channelTrend.ts';

/** Carries the state over to the channels of another grid by name; channels that are new start at the baseline. */
export function alignChannels(trend: ChannelTrend, band: Band): void {
  if (trend.channels === band.key && trend.freqMhz.length === band.freqMhz.length) return;
  const before = trend.channels === '' ? [] : trend.channels.split(' ');
  const place = band.names.map((name) => before.indexOf(name));
  const carry = (values: readonly number[]) => place.map((at) => (at < 0 ? 0 : values[at]!));

  for (const recent of [trend.level, trend.mer]) {
    recent.meanCdb.splice(0, Number.POSITIVE_INFINITY, ...carry(recent.meanCdb));
    recent.normalMdb.splice(0, Number.POSITIVE_INFINITY, ...carry(recent.normalMdb));
  }
  trend.history = trend.history.map((block): Block => ({ ...block, meanCdb: carry(block.meanCdb) }));
  if (trend.block !== null) trend.block = { ...trend.block, sumCdb: carry(trend.block.sumCdb) };
  trend.channels = band.key;
  trend.freqMhz = band.freqMhz;
}
