/** One column of a file that sites or points are brought in from. */
export interface ImportColumn {
  readonly name: string;
  /** The field of the API that it fills. */
  readonly field: string;
  readonly kind: 'text' | 'number' | 'yes-no';
  /** `new`: needed where the row adds something that isn't there yet. */
  readonly needed: 'always' | 'new' | 'no';
  readonly words: string;
  readonly example: readonly string[];
}

export const SITE_COLUMNS: readonly ImportColumn[] = [
  text('name', 'name', 'always', 'The building’s name; sites are known by it.', [
    'Mill House',
    'Harbour Court',
  ]),
  text('town', 'town', 'no', 'Town.', ['Elm Falls', 'Elm Falls']),
  text('address', 'address', 'no', 'Street and number.', ['12 Weir Lane', '3 Quay Street']),
  text('time_zone', 'timeZone', 'new', 'IANA time zone, such as America/Chicago.', [
    'America/Chicago',
    'America/Chicago',
  ]),
  number('outlets', 'outlets', 'new', 'Outlets in the whole building.', ['120', '48']),
  text('provider', 'provider', 'no', 'Name of a provider that is set up here.', ['', '']),
  text('plan', 'plan', 'no', 'Name of a channel plan that is set up here.', ['', '']),
  text('contact', 'contact', 'no', 'Who is reached at the site.', ['front desk, +1 555 0101', '']),
  text('access_notes', 'accessNotes', 'no', 'Keys, hours, escorts. May have several lines.', [
    'Key at the desk.\nRiser on each floor beside the lift.',
    '',
  ]),
  number('latitude', 'latitude', 'no', 'Degrees north, with a decimal point.', ['41.88', '']),
  number('longitude', 'longitude', 'no', 'Degrees east, with a decimal point; west is negative.', [
    '-87.63',
    '',
  ]),
];

export const POINT_COLUMNS: readonly ImportColumn[] = [
  text('site', 'site', 'always', 'Name of the site: of the sites file, or one that is set up here.', [
    'Mill House',
    'Mill House',
    'Mill House',
    'Harbour Court',
  ]),
  text('point', 'name', 'always', 'Name that sweeps call the point; points are known by it.', [
    'handoff',
    'riser-amp',
    'room-512',
    'handoff',
  ]),
  text('label', 'label', 'no', 'What people call it.', ['', 'Riser amplifier', 'Room 512', '']),
  text('kind', 'kind', 'new', 'handoff, gear-input, gear-output, amplifier, splitter or outlet.', [
    'handoff',
    'amplifier',
    'outlet',
    'handoff',
  ]),
  text('fed_by', 'fedBy', 'no', 'Name of the point upstream; empty for the handoff alone.', [
    '',
    'handoff',
    'riser-amp',
    '',
  ]),
  number('outlets', 'outlets', 'no', 'Outlets that hang on this point and on none below it.', [
    '',
    '60',
    '60',
    '',
  ]),
  number('interval_minutes', 'intervalS', 'no', 'Minutes between sweeps; 15 when empty.', [
    '15',
    '15',
    '60',
    '15',
  ]),
  text('hop_note', 'hopNote', 'no', 'What lies between this point and the one upstream.', [
    '',
    '62 m of series 11',
    '',
    '',
  ]),
  {
    ...number(
      'corrects_itself',
      'correctsItself',
      'no',
      'yes where gear holds its own level and tilt, else no.',
      ['', 'no', '', ''],
    ),
    kind: 'yes-no',
  },
  number('correction_window_db', 'correctionWindowDb', 'no', 'Half width of that gear’s window, dB.', [
    '',
    '',
    '',
    '',
  ]),
];

function text(
  name: string,
  field: string,
  needed: ImportColumn['needed'],
  words: string,
  example: readonly string[],
): ImportColumn {
  return { name, field, kind: 'text', needed, words, example };
}

function number(...column: Parameters<typeof text>): ImportColumn {
  return { ...text(...column), kind: 'number' };
}
