import type { Advice } from '../advice.ts';

/** What happens to what is carried, to the provider's feed and to the instrument; and what to do when nothing fits. */
export const FEED_ADVICE = {
  modulator: {
    title: 'Modulator or channel processor',
    check: [
      'Find where these channels are put on the line: the headend, or a modulator of the building’s own.',
      'Look at its lamp, its input signal and its supply; start it again only when its keeper agrees.',
      'Measure the channel at the modulator’s output.',
    ],
    bring: [
      'Meter that shows channels one by one',
      'The channel plan in force',
      'Spare modulator, if the building keeps one',
    ],
  },
  'channel-blocked': {
    title: 'Trap, filter or failing processor in the line',
    check: [
      'Measure the channel at the start of the hop: there it should be as before.',
      'Walk the hop for traps and filters that the drawing doesn’t show.',
      'Ask whether the channel was meant to go, and have the plan changed if so.',
    ],
    bring: [
      'Meter that shows channels one by one',
      'The channel plan in force',
      'A barrel to put in a filter’s place',
    ],
  },
  'provider-feed': {
    title: 'The provider’s feed as a whole',
    check: [],
    bring: [],
  },
  instrument: {
    title: 'The instrument',
    check: [
      'Measure the same point with the old and the new instrument, one right after the other.',
      'Look at the test lead, its pad and the calibration date of both.',
      'If only the instrument differs, have a new baseline accepted with that reason.',
    ],
    bring: ['The instrument that made the baseline', 'A meter with a valid calibration', 'A known test lead'],
  },
  'not-sure': {
    title: 'Not sure',
    check: [
      'Measure at both ends of the hop, on the same channels and within the hour: is the change there, and only at one end?',
      'Ask whether anybody worked in the building on the day of the onset.',
      'Walk the hop with the drawing and look for what isn’t as drawn.',
    ],
    bring: ['Meter that shows level and MER', 'Drawing of the hop', 'The then and now of this page, printed'],
  },
} satisfies Readonly<Record<string, Advice>>;
