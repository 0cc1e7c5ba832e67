import type { Finding, FindingKind } from '../trend/types.ts';

/** Kinds that one cause may show as, one after the other: the engine calls a step a drift once it knows better. */
const FAMILIES: Readonly<Record<FindingKind, string>> = {
  step: 'shift',
  drift: 'shift',
  dips: 'dips',
  notch: 'notch',
  ripple: 'ripple',
  'channel-shift': 'channels',
  'channel-lost': 'channel-lost',
  outage: 'outage',
  'instrument-change': 'instrument',
};

export const SILENCE_KEY = 'silence';

/**
 * What stays the same of a cause however often the engine tells it anew: the point that ends its hop, the family of its kind, what moved
 * and which way.
 *
 * @example "12 shift level down"
 */
export function causeKey(finding: Pick<Finding, 'hopTo' | 'kind' | 'metric' | 'sizeDb'>): string {
  return `${finding.hopTo} ${likeness(finding)}`;
}

/** The same without the place: what changes at two sites have in common when they are one change. */
export function likeness({ kind, metric, sizeDb }: Pick<Finding, 'kind' | 'metric' | 'sizeDb'>): string {
  const way = sizeDb === 0 ? '' : sizeDb < 0 ? ' down' : ' up';
  return `${FAMILIES[kind]} ${metric}${way}`;
}

/** The likeness in a cause key; silence has no place. */
export function likenessOf(key: string): string {
  return key === SILENCE_KEY ? key : key.slice(key.indexOf(' ') + 1);
}
