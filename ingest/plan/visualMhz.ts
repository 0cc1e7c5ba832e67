import type { PlannedChannel } from './channelPlan.ts';

/** 47 CFR 73.682(a); the 7 and 8 MHz systems put it there too (after ITU-R BT.470, to be confirmed). */
const VISUAL_ABOVE_EDGE_MHZ = 1.25;

/** Where the picture carrier of an analogue channel lies, MHz: 1.25 MHz above the channel's lower edge. */
export function visualMhz(channel: Pick<PlannedChannel, 'centreMhz' | 'widthMhz'>): number {
  return channel.centreMhz - channel.widthMhz / 2 + VISUAL_ABOVE_EDGE_MHZ;
}
