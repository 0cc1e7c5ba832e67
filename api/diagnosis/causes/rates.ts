import type { CauseId, CausePlace } from './cause.ts';
import type { HopContents } from './hopContents.ts';

/** Where a finding begins, as far as it decides what can have failed there. */
export type Surroundings = 'provider' | 'gear' | 'amplifier' | 'passive';

/**
 * How often each cause is behind a change in a part of each kind, before anything is known of the change: weights, about
 * so many of a hundred. Order as in `PLACES`. A hidden loss stands for all that can slowly take level ahead of gear that corrects
 * it. Common practice, no source.
 */
const RATES: Readonly<Record<CauseId, readonly [number, number, number, number]>> = {
  //                    provider gear amplifier passive
  'passive-changed': [1.5, 4, 8, 26],
  'passive-failing': [1, 2, 3, 8],
  'cable-changed': [1, 2, 3, 6],
  'cable-temperature': [1, 1, 3, 6],
  'water-in-cable': [4, 3, 8, 10],
  'corroded-contact': [3, 5, 6, 12],
  'loose-connector': [6, 6, 8, 14],
  'open-line': [2, 3, 3, 6],
  'suck-out': [2, 2, 3, 6],
  'cable-echo': [2, 3, 4, 8],
  ingress: [2, 3, 3, 8],
  'amplifier-gain': [0, 22, 20, 1],
  'amplifier-adjusted': [0, 4, 8, 0],
  'amplifier-noise': [0, 12, 10, 1],
  'amplifier-dead': [0, 8, 8, 0],
  'hidden-loss': [0, 14, 0, 0],
  'power-off': [2, 12, 10, 1],
  modulator: [20, 2, 3, 3],
  'channel-blocked': [1, 2, 3, 6],
  'provider-feed': [46, 0, 0, 0],
  instrument: [3, 3, 3, 3],
  'not-sure': [5, 5, 5, 5],
};
const PLACES: readonly Surroundings[] = ['provider', 'gear', 'amplifier', 'passive'];

/** What the set-up tells of a hop multiplies the rates of these. Common practice, no source. */
const LEANS: readonly {
  readonly when: (hop: HopContents, place: CausePlace) => boolean;
  readonly times: number;
  readonly causes: readonly CauseId[];
}[] = [
  { when: ({ lies }) => lies === 'outdoors', times: 3, causes: ['water-in-cable'] },
  { when: ({ lies }) => lies === 'outdoors', times: 1.5, causes: ['corroded-contact'] },
  { when: ({ lies }) => lies === 'indoors', times: 0.5, causes: ['water-in-cable'] },
  { when: ({ lies }) => lies === 'under a roof', times: 4, causes: ['cable-temperature'] },
  {
    when: ({ cableM }) => cableM !== null && cableM < 10,
    times: 0.3,
    causes: ['water-in-cable', 'cable-temperature', 'suck-out', 'cable-echo'],
  },
  {
    when: ({ splitterWays }) => splitterWays !== null,
    times: 1.5,
    causes: ['passive-changed', 'passive-failing'],
  },
  { when: (_hop, { ambientKnown }) => ambientKnown, times: 0.3, causes: ['cable-temperature'] },
  { when: (_hop, { startsAt }) => startsAt === 'gear-input', times: 0.1, causes: ['hidden-loss'] },
];

/** Weight of `cause` in a hop before the change is looked at. */
export function rateOf(cause: CauseId, hop: HopContents, place: CausePlace): number {
  const rate = RATES[cause][PLACES.indexOf(surroundingsOf(hop, place))]!;
  return LEANS.filter((lean) => lean.causes.includes(cause) && lean.when(hop, place)).reduce(
    (product, { times }) => product * times,
    rate,
  );
}

export function surroundingsOf(hop: HopContents, place: CausePlace): Surroundings {
  if (place.isHandoff) return 'provider';
  if (place.correctsItself || place.endsAt === 'gear-output') return 'gear';
  return place.endsAt === 'amplifier' || hop.amplifier ? 'amplifier' : 'passive';
}
