import { expect, test } from 'vitest';
import type { Fault } from '../../../seed/simulator/fault.ts';
import { DAY_MS, makeSite, withFaults } from '../../evaluate/fleet.ts';
import { SETTINGS } from '../../evaluate/settings.ts';
import { leading, takenOf, treeOf, watch } from './watchedSite.ts';

const ONSET_DAY = 8;
const plain = makeSite(7, 'one fault', SETTINGS.standard, 0, 'risers');
const { startMs, points } = plain.evaluated;

type Planted = Pick<Fault, 'cause' | 'shape' | 'sizeDb'> & {
  readonly at: number;
  readonly overDays?: number;
};

// Each of these bends the band as a whole too, leaves a hole in it or comes and goes: none of that must pass for a fault of its own.
test.each<[string, 'ripple' | 'notch' | 'channel-lost' | 'dips', Planted]>([
  [
    'an echo of 1.2 dB',
    'ripple',
    { cause: 'echo from a damaged cable', shape: { kind: 'ripple', delayNs: 65 }, sizeDb: 1.2, at: 1 },
  ],
  [
    'an echo of 6 dB, whose second harmonic is half a dB',
    'ripple',
    { cause: 'echo from a damaged cable', shape: { kind: 'ripple', delayNs: 220 }, sizeDb: 6, at: 1 },
  ],
  [
    'an echo of 12 dB, which takes MER along in its troughs',
    'ripple',
    { cause: 'echo from a damaged cable', shape: { kind: 'ripple', delayNs: 45 }, sizeDb: 12, at: 1 },
  ],
  [
    'a suck-out of 8 dB that is there at once',
    'notch',
    { cause: 'suck-out', shape: { kind: 'notch', centreMhz: 420, widthMhz: 40 }, sizeDb: -8, at: 2 },
  ],
  [
    'a contact that is loose for two sweeps now and then',
    'dips',
    {
      cause: 'loose connector',
      shape: { kind: 'loose-contact', share: 0.1, spellMinutes: 30 },
      sizeDb: -15,
      at: 1,
    },
  ],
  [
    'a block of ten channels that goes off',
    'channel-lost',
    {
      cause: 'modulator off',
      shape: {
        kind: 'channels-lost',
        channels: plain.evaluated.channels.slice(34, 44).map(({ channel }) => channel),
      },
      sizeDb: 0,
      at: 1,
    },
  ],
  [
    'a suck-out near the low end that grows by 1.3 dB a day',
    'notch',
    {
      cause: 'suck-out',
      shape: { kind: 'notch', centreMhz: 120, widthMhz: 60 },
      sizeDb: -4,
      overDays: 3,
      at: 2,
    },
  ],
])('%s is told, and nothing beside it', (_, kind, { at, overDays = 0, ...fault }) => {
  const site = withFaults(plain, [
    {
      ...fault,
      overDays,
      place: { hopTo: points[at]!.name, end: 'entry' },
      onsetMs: startMs + ONSET_DAY * DAY_MS,
      endMs: null,
    },
  ]);
  const told = leading(watch(treeOf(plain), takenOf(site, ONSET_DAY + 3)));
  expect(told.map(({ last }) => last.kind)).toEqual([kind]);
  expect(told[0]!.last).toMatchObject({ hopTo: at + 1, side: 'building', closedMs: null });
});
