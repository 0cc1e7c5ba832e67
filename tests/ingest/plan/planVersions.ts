import type { Modulation, PlannedChannel, PlanVersion } from '../../../ingest/plan/channelPlan.ts';

export function channel(
  name: string,
  centreMhz: number,
  modulation: Modulation = 'qam256',
  extra: Partial<PlannedChannel> = {},
): PlannedChannel {
  return { channel: name, centreMhz, widthMhz: 6, modulation, services: [], ...extra };
}

export function planVersion(
  version: number,
  effectiveFromMs: number,
  channels: readonly PlannedChannel[],
): PlanVersion {
  return { planId: 1, version, effectiveFromMs, note: '', channels };
}
