import type { PlannedChannel, PlanVersion, Service } from './channelPlan.ts';

/** Where a service is found, in one version of a plan. */
export interface ServiceMatch {
  readonly version: number;
  readonly effectiveFromMs: number;
  /** The RF channel that carries it. */
  readonly channel: PlannedChannel;
  readonly service: Service;
}

/**
 * From what a viewer says to the RF channel: services whose number begins with the text or whose name contains it, whatever
 * its case. Exact numbers come first, then newer versions, then rising frequency.
 *
 * @param text such as "7", "7.1" or "news"; blank finds nothing
 */
export function findServices(versions: readonly PlanVersion[], text: string): ServiceMatch[] {
  const wanted = text.trim().toLowerCase();
  if (wanted === '') return [];

  const newestFirst = [...versions].sort(
    (a, b) => b.effectiveFromMs - a.effectiveFromMs || b.version - a.version,
  );
  const matches = newestFirst.flatMap(({ version, effectiveFromMs, channels }) =>
    channels.flatMap((channel) =>
      channel.services
        .filter((service) => isMatch(service, wanted))
        .map((service) => ({ version, effectiveFromMs, channel, service })),
    ),
  );
  const exact = ({ service }: ServiceMatch): boolean => service.number.toLowerCase() === wanted;
  return [...matches.filter(exact), ...matches.filter((match) => !exact(match))];
}

function isMatch({ number, name }: Service, wanted: string): boolean {
  return number.toLowerCase().startsWith(wanted) || name.toLowerCase().includes(wanted);
}
