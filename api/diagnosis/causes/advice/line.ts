import type { Advice } from '../advice.ts';

/** What happens to cables, connectors and passives. */
export const LINE_ADVICE = {
  'passive-changed': {
    title: 'Splitter, tap or pad added, taken out or exchanged',
    check: [
      'Ask who worked in the hop on the day of the onset.',
      'Walk the hop and hold every splitter, tap and pad against the drawing.',
      'Measure before and behind each passive: the difference is its loss.',
    ],
    bring: ['Level meter', 'The passives of the drawing as spares', 'Terminators for unused ports'],
  },
  'passive-failing': {
    title: 'Splitter or tap failing',
    check: [
      'Measure before and behind each splitter and tap: one takes more than its marking says.',
      'Open its housing and look for water and green copper.',
    ],
    bring: ['Level meter', 'A spare of each splitter and tap of the hop', 'Sealing for outdoor housings'],
  },
  'cable-changed': {
    title: 'Another cable, or more of it',
    check: [
      'Ask who worked in the hop on the day of the onset.',
      'Look for new joints, patch cables and coils, and for cable of another series.',
      'Compare the length in the drawing with the markings on the jacket.',
    ],
    bring: [
      'Level meter that shows the top and the bottom of the band',
      'Drawing of the hop',
      'Connectors and crimping tool',
    ],
  },
  'cable-temperature': {
    title: 'Cable warmer or colder than at the baseline',
    check: [
      'Compare with the same hour of other days: weather comes back, a fault stays.',
      'Find where the cable runs under a roof, beside heating or in the sun.',
      'Give the point a thermometer, so that its effect can be taken out.',
    ],
    bring: ['Thermometer that reads the air beside the cable'],
  },
  'water-in-cable': {
    title: 'Water in the cable or its connectors',
    check: [
      'Look first at the lowest place of the run, at outdoor connectors and at housings.',
      'Open the connector at each end: a wet braid or a dark centre conductor says enough.',
      'Compare the tilt at both ends of the cable, and again after dry days.',
    ],
    bring: [
      'Level meter that shows the top and the bottom of the band',
      'Connectors and sealing',
      'Cable for the length of the run',
    ],
  },
  'corroded-contact': {
    title: 'Corroded contact or centre conductor',
    check: [
      'Open the connectors of the hop one by one, outdoor and damp ones first: look for green copper or a short centre conductor.',
      'Measure the lowest channels before and behind each connector and passive.',
      'Cut back to bright copper and fit a new connector.',
    ],
    bring: ['Meter that reads the lowest channels', 'Connectors and crimping tool', 'Spare splitter or tap'],
  },
  'loose-connector': {
    title: 'Loose connector or contact',
    check: [
      'Watch a high and a low channel on the meter while you move each connector of the hop in turn.',
      'Tighten to the torque that the connector asks for; refit one that turns on its cable.',
      'Look at wall plates and patch cables that people can pull.',
    ],
    bring: ['Level meter', 'Torque wrench for the connectors', 'Connectors and crimping tool', 'Patch cable'],
  },
  'open-line': {
    title: 'Cable cut or connector pulled',
    check: [
      'Measure at both ends of the hop: signal in and none out says it lies between.',
      'Look for building work, moved furniture and pulled plugs along the run.',
      'With a reflection meter, read how far away the line ends.',
    ],
    bring: ['Level meter', 'Reflection meter, if there is one', 'Cable, connectors and crimping tool'],
  },
  'suck-out': {
    title: 'Suck-out: a resonance in the line',
    check: [
      'Measure the channels about the notch before and behind each connector, housing and passive: the notch begins at one of them.',
      'Look for a loose seizure screw, a poor ground, a dented or crushed cable.',
      'Tighten or refit there, and look whether the notch moves.',
    ],
    bring: ['Meter that sweeps the band', 'Connectors and crimping tool', 'Terminators'],
  },
  'cable-echo': {
    title: 'Echo from a damaged cable or a poor termination',
    check: [
      'Terminate every unused port of the hop and look whether the ripple goes.',
      'From each end of the hop, look at what lies as far away as the echo says: joints, kinks, staples, crushed places.',
      'With a reflection meter, read the distance again from the other end.',
    ],
    bring: ['Terminators', 'Reflection meter, if there is one', 'Tape measure', 'Cable and connectors'],
  },
  ingress: {
    title: 'Ingress: signals from outside getting in',
    check: [
      'Look at which channels suffer: those on frequencies of mobile or broadcast transmitters speak for ingress.',
      'Look for open ports, loose connectors and poor patch cables below the start of the hop.',
      'Take branches off one at a time and watch MER.',
    ],
    bring: [
      'Meter that shows MER and the spectrum between channels',
      'Terminators',
      'Well-screened patch cable',
      'Leakage detector',
    ],
  },
} satisfies Readonly<Record<string, Advice>>;
