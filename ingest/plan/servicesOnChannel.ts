import type { PlanVersion, Service } from './channelPlan.ts';

/**
 * What viewers lose when an RF channel goes: its services in the version given. Empty when the channel carries none
 * that is known, or isn't in the version.
 *
 * @param channel as the raster names it, such as "78" or "S21"
 */
export function servicesOnChannel(plan: Pick<PlanVersion, 'channels'>, channel: string): readonly Service[] {
  return plan.channels.find((planned) => planned.channel === channel)?.services ?? [];
}
