import type { Advice } from '../advice.ts';

/** What happens to amplifiers, gear that corrects itself, and their supply. */
export const GEAR_ADVICE = {
  'amplifier-gain': {
    title: 'Amplifier losing gain',
    check: [
      'Measure at the input and at the output on the same channels: their difference is the gain; hold it against the line-up sheet.',
      'Read the supply voltage under load and its ripple.',
      'Feel for heat and look at fans and vents. Don’t turn the gain up to hide it.',
    ],
    bring: [
      'Level meter with an adapter for the test points',
      'True-RMS voltmeter',
      'The line-up sheet',
      'Spare amplifier or module',
    ],
  },
  'amplifier-adjusted': {
    title: 'Amplifier, its pads or its equaliser adjusted',
    check: [
      'Ask who worked at the amplifier on the day of the onset.',
      'Hold pads, equaliser and gain settings against the line-up sheet.',
      'If the change was meant, have a new baseline accepted.',
    ],
    bring: [
      'Level meter with an adapter for the test points',
      'The line-up sheet',
      'Pads and equalisers of the values on it',
    ],
  },
  'amplifier-noise': {
    title: 'Amplifier making noise',
    check: [
      'Measure MER at the input and at the output on the same channels: a good input and a poor output leave the amplifier.',
      'Look whether input or output stands too high: too much level distorts and MER falls as well.',
      'Read the supply voltage under load and its ripple.',
    ],
    bring: ['Meter that shows MER', 'True-RMS voltmeter', 'Spare amplifier or module', 'Pads'],
  },
  'amplifier-dead': {
    title: 'Amplifier output failed',
    check: [
      'Look whether its lamp or voltage test point says that it has power.',
      'Measure at its input: signal in and none out leaves the amplifier.',
      'Look at fuses and surge arresters before you exchange it.',
    ],
    bring: [
      'Level meter with an adapter for the test points',
      'True-RMS voltmeter',
      'Spare amplifier and fuses',
      'The line-up sheet',
    ],
  },
  'hidden-loss': {
    title: 'Loss ahead of gear that corrects itself',
    check: [
      'Measure level at the gear’s input and hold it against the line-up sheet: its output says nothing as long as it corrects.',
      'Read how much correction the gear reports, and how much it has left.',
      'If the input is low, go up the line: connectors, splitters and cable between the last good point and the gear.',
    ],
    bring: [
      'Meter that shows level and MER',
      'The line-up sheet',
      'Connectors and crimping tool',
      'Spare splitter or tap',
    ],
  },
  'power-off': {
    title: 'No power at the gear',
    check: [
      'Ask whether the room, riser or circuit had power at the time.',
      'Look at the supply: breaker, plug, lamp, and voltage at its output.',
      'Where the coax carries power, measure for it at the power inserter first.',
    ],
    bring: ['True-RMS voltmeter', 'Spare supply and fuses', 'Key to the electrical room'],
  },
} satisfies Readonly<Record<string, Advice>>;
