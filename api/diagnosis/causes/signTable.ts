import type { BandShape } from '../../trend/types.ts';
import type { CauseId } from './cause.ts';
import type { Direction, Pace, Showing } from './signs.ts';

/**
 * How a cause shows: of a hundred times that it happens, in how many is the finding about this, comes at this pace, takes
 * level away, lies so across the band. A cause comes in all ways alike in a part that is left out.
 */
export interface CauseSigns {
  readonly shows: Readonly<Partial<Record<Showing, number>>>;
  readonly pace?: Readonly<Record<Pace, number>>;
  readonly direction?: Readonly<Record<Direction, number>>;
  readonly shape?: Readonly<Record<BandShape, number>>;
}

const MOSTLY_LOSS = { loss: 98, gain: 2 };
const EITHER_WAY = { loss: 50, gain: 50 };
const AT_ONCE = { sudden: 98, days: 1, weeks: 1 };
const SLOWLY = { sudden: 10, days: 32, weeks: 58 };
const ALIKE = { flat: 95, cable: 3, 'low-end': 2 };

/** Common practice, no source, in all of its numbers. */
export const SIGN_TABLE: Readonly<Record<CauseId, CauseSigns>> = {
  'passive-changed': {
    shows: { level: 94, channels: 2, notch: 1, dips: 1 },
    pace: AT_ONCE,
    direction: { loss: 75, gain: 25 },
    shape: ALIKE,
  },
  'passive-failing': {
    shows: { level: 90, dips: 5, noise: 1 },
    pace: SLOWLY,
    direction: MOSTLY_LOSS,
    shape: { flat: 84, cable: 9, 'low-end': 7 },
  },
  'cable-changed': {
    shows: { level: 95, ripple: 2, notch: 1 },
    pace: AT_ONCE,
    direction: { loss: 60, gain: 40 },
    shape: { flat: 13, cable: 85, 'low-end': 2 },
  },
  'cable-temperature': {
    shows: { level: 98 },
    pace: { sudden: 5, days: 50, weeks: 45 },
    direction: { loss: 60, gain: 40 },
    shape: { flat: 19, cable: 80, 'low-end': 1 },
  },
  'water-in-cable': {
    shows: { level: 93, ripple: 2, notch: 2 },
    pace: { sudden: 10, days: 45, weeks: 45 },
    direction: MOSTLY_LOSS,
    shape: { flat: 7, cable: 90, 'low-end': 3 },
  },
  'corroded-contact': {
    shows: { level: 85, dips: 10, noise: 2 },
    pace: { sudden: 15, days: 30, weeks: 55 },
    direction: MOSTLY_LOSS,
    shape: { flat: 4, cable: 2, 'low-end': 94 },
  },
  'loose-connector': {
    shows: { dips: 86, level: 7, outage: 4, noise: 2 },
    pace: AT_ONCE,
    direction: MOSTLY_LOSS,
    shape: { flat: 45, cable: 10, 'low-end': 45 },
  },
  'open-line': { shows: { outage: 92, dips: 4, level: 3 } },
  'suck-out': { shows: { notch: 92, channels: 4, flatness: 2, 'channels-noise': 1 } },
  'cable-echo': { shows: { ripple: 92, flatness: 4, notch: 3 } },
  ingress: {
    shows: { noise: 55, 'channels-noise': 43 },
    pace: { sudden: 40, days: 30, weeks: 30 },
    direction: MOSTLY_LOSS,
  },
  'amplifier-gain': {
    shows: { level: 93, noise: 4, dips: 1 },
    pace: { sudden: 15, days: 30, weeks: 55 },
    direction: MOSTLY_LOSS,
    shape: { flat: 87, cable: 12, 'low-end': 1 },
  },
  'amplifier-adjusted': {
    shows: { level: 97, noise: 1 },
    pace: AT_ONCE,
    direction: EITHER_WAY,
    shape: { flat: 65, cable: 30, 'low-end': 5 },
  },
  'amplifier-noise': {
    shows: { noise: 93, 'channels-noise': 3 },
    pace: { sudden: 15, days: 35, weeks: 50 },
    direction: MOSTLY_LOSS,
  },
  'amplifier-dead': { shows: { outage: 90, dips: 5, level: 3 } },
  'hidden-loss': { shows: { noise: 96 }, pace: SLOWLY, direction: MOSTLY_LOSS },
  'power-off': { shows: { outage: 96, dips: 3 } },
  modulator: { shows: { 'channel-lost': 60, channels: 22, 'channels-noise': 16 } },
  'channel-blocked': { shows: { 'channel-lost': 60, channels: 36, notch: 2 } },
  'provider-feed': {
    shows: { level: 74, noise: 10, outage: 10, dips: 2, flatness: 1, channels: 1 },
    pace: { sudden: 50, days: 22, weeks: 28 },
    direction: { loss: 70, gain: 30 },
    shape: { flat: 60, cable: 30, 'low-end': 10 },
  },
  instrument: {
    shows: { instrument: 96, level: 3, noise: 1 },
    pace: AT_ONCE,
    direction: EITHER_WAY,
    shape: ALIKE,
  },
  'not-sure': {
    shows: {
      level: 28,
      flatness: 22,
      noise: 12,
      channels: 8,
      dips: 7,
      notch: 6,
      ripple: 6,
      'channels-noise': 6,
      'channel-lost': 3,
      outage: 2,
      instrument: 0.2,
    },
    pace: { sudden: 34, days: 33, weeks: 33 },
    direction: EITHER_WAY,
    shape: { flat: 34, cable: 33, 'low-end': 33 },
  },
};
