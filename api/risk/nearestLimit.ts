import type { NamedChannel, NamedMargin, PointFacts } from './siteFacts.ts';

/** A service limit that a point breaks now, or comes nearest to. */
export interface NearestLimit {
  readonly point: PointFacts;
  readonly channel: string;
  /** Null when the channel is lost altogether. */
  readonly margin: NamedMargin | null;
}

/** The channel and service limit with the least margin left; a lost channel has none left at all. */
export function nearestLimit(point: PointFacts): NearestLimit | null {
  const lost = point.channels.find((channel) => channel.lost);
  if (lost !== undefined) return { point, channel: lost.channel, margin: null };

  let nearest: { point: PointFacts; channel: string; margin: NamedMargin } | null = null;
  for (const { channel, margins } of point.channels) {
    const margin = leastMargin(margins);
    if (margin === null) continue;
    if (nearest === null || margin.marginDb < nearest.margin.marginDb) nearest = { point, channel, margin };
  }
  return nearest;
}

/** Whether the limit is broken now. */
export function isBroken(nearest: NearestLimit): boolean {
  return nearest.margin === null || nearest.margin.marginDb < 0;
}

function leastMargin(margins: NamedChannel['margins']): NamedMargin | null {
  return margins.reduce<NamedMargin | null>(
    (least, margin) => (least === null || margin.marginDb < least.marginDb ? margin : least),
    null,
  );
}
