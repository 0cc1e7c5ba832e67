import type { ChannelConclusion, ChannelTrend } from '../../../../api/trend/channels/channelTrend.ts';
import { emptyChannels } from '../../../../api/trend/channels/emptyChannels.ts';
import { watchChannels } from '../../../../api/trend/channels/watchChannels.ts';
import { DAY_MS } from '../../../../api/trend/types.ts';
import { type RestScenario, START_MS, simulateRests } from './simulateRests.ts';

export interface Watched {
  readonly trend: ChannelTrend;
  /** Each conclusion as first told, in order. */
  readonly first: readonly ChannelConclusion[];
  /** Each as last told, in the same order. */
  readonly last: readonly ChannelConclusion[];
  readonly told: number;
}

/** Runs a scenario through the watch. `before` may change the state ahead of a sweep, by day since the start. */
export function watch(
  scenario: RestScenario,
  before: (trend: ChannelTrend, day: number) => ChannelTrend = (trend) => trend,
): Watched {
  let trend = emptyChannels();
  const first = new Map<number, ChannelConclusion>();
  const last = new Map<number, ChannelConclusion>();
  let told = 0;
  for (const reading of simulateRests(scenario)) {
    trend = before(trend, dayOf(reading.atMs));
    for (const conclusion of watchChannels(trend, reading).changed) {
      told++;
      if (!first.has(conclusion.number)) first.set(conclusion.number, conclusion);
      last.set(conclusion.number, conclusion);
    }
  }
  return { trend, first: [...first.values()], last: [...last.values()], told };
}

export function dayOf(atMs: number): number {
  return (atMs - START_MS) / DAY_MS;
}
