import type { PlannedChannel, PlanVersion } from './channelPlan.ts';
import { visualMhz } from './visualMhz.ts';

/** Covers the aeronautical offsets (25 kHz) and a meter's rounding; rasters differ by 1.25 MHz or more. */
const TOLERANCE_MHZ = 0.05;
/** Keeps 0.05 itself inside, whatever its binary fraction. */
const ROUNDING_MHZ = 1e-6;

export interface ChannelMatch {
  /** Parallel to the carriers; null is a carrier outside the plan. */
  readonly channels: (PlannedChannel | null)[];
  /** Channels of the plan that no carrier was matched to, in the plan's order. */
  readonly notLookedFor: PlannedChannel[];
}

/**
 * Which planned channel each carrier is. A carrier matches at a channel's centre within the tolerance; an analogue one at
 * its picture carrier too, since meters report either; any carrier inside an OFDM block belongs to the block. A channel
 * other than a block takes one carrier, the nearest; a second is outside the plan.
 *
 * @param freqMhz the carriers measured, or those looked for and lost
 * @param toleranceMhz at least 0.05 by default
 */
export function matchChannels(
  freqMhz: readonly number[],
  plan: Pick<PlanVersion, 'channels'>,
  toleranceMhz: number = TOLERANCE_MHZ,
): ChannelMatch {
  const channels = new Array<PlannedChannel | null>(freqMhz.length).fill(null);
  const notLookedFor: PlannedChannel[] = [];
  for (const channel of plan.channels) {
    if (channel.modulation === 'ofdm') {
      if (!claimBlock(channel, freqMhz, channels)) notLookedFor.push(channel);
      continue;
    }
    const nearest = nearestFree(channel, freqMhz, channels, toleranceMhz + ROUNDING_MHZ);
    if (nearest === null) notLookedFor.push(channel);
    else channels[nearest] = channel;
  }
  return { channels, notLookedFor };
}

function claimBlock(
  block: PlannedChannel,
  freqMhz: readonly number[],
  channels: (PlannedChannel | null)[],
): boolean {
  let claimed = false;
  freqMhz.forEach((mhz, i) => {
    if (channels[i] !== null || Math.abs(mhz - block.centreMhz) > block.widthMhz / 2) return;
    channels[i] = block;
    claimed = true;
  });
  return claimed;
}

function nearestFree(
  channel: PlannedChannel,
  freqMhz: readonly number[],
  channels: readonly (PlannedChannel | null)[],
  toleranceMhz: number,
): number | null {
  let nearest: number | null = null;
  let nearestMhz = toleranceMhz;
  freqMhz.forEach((mhz, i) => {
    if (channels[i] !== null) return;
    const awayMhz = distanceMhz(channel, mhz);
    if (awayMhz > nearestMhz || (nearest !== null && awayMhz === nearestMhz)) return;
    nearest = i;
    nearestMhz = awayMhz;
  });
  return nearest;
}

function distanceMhz(channel: PlannedChannel, mhz: number): number {
  const fromCentre = Math.abs(mhz - channel.centreMhz);
  if (channel.modulation !== 'analogue') return fromCentre;
  return Math.min(fromCentre, Math.abs(mhz - visualMhz(channel)));
}
