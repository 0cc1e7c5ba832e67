import type { PlannedChannel, PlanVersion } from './channelPlan.ts';
import { planInForce } from './planInForce.ts';

/**
 * Channels that the plan defines alike at both moments: same name, centre, width and modulation. Only these may be
 * compared across the two, so a planned line-up change never looks like a fault. Services may differ: they
 * don't change what a meter reads.
 *
 * @returns as defined at `toMs`, in rising frequency; empty when no version is in force at either moment
 */
export function unchangedChannels(
  versions: readonly PlanVersion[],
  fromMs: number,
  toMs: number,
): PlannedChannel[] {
  const before = planInForce(versions, fromMs);
  const after = planInForce(versions, toMs);
  if (before === null || after === null) return [];

  const known = new Set(before.channels.map(definition));
  return after.channels.filter((channel) => known.has(definition(channel)));
}

function definition({ channel, centreMhz, widthMhz, modulation }: PlannedChannel): string {
  return `${channel} ${centreMhz} ${widthMhz} ${modulation}`;
}
