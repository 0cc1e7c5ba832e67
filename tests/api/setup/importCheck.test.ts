import { describe, expect, test } from 'vitest';
import { SiteSetupSchema } from '../../../api/schemas/siteSetup.ts';
import { checkImport, type KnownThings } from '../../../api/setup/import/checkImport.ts';
import { POINT_COLUMNS, SITE_COLUMNS } from '../../../api/setup/import/columns.ts';
import { importForm } from '../../../api/setup/import/importForm.ts';
import { readTable } from '../../../api/setup/import/readTable.ts';

const NOTHING: KnownThings = {
  sites: [],
  providers: new Map([['Bayline', 4]]),
  plans: new Map([['Bayline basic', 9]]),
};
const HEADER = 'name,time_zone,outlets';
const check = (sites: string, points = '', things = NOTHING, known: 'skip' | 'update' = 'update') =>
  checkImport(
    readTable('sites', sites, SITE_COLUMNS),
    points === '' ? { rows: [], faults: [] } : readTable('points', points, POINT_COLUMNS),
    things,
    known,
  );
const told = ({ faults }: ReturnType<typeof check>) =>
  faults.map(({ file, row, column, problem }) => `${file} ${row} ${column}: ${problem}`);

describe('a file', () => {
  test.each([
    ['commas', `${HEADER}\nMill House,America/Chicago,12\n`],
    ['semicolons', `${HEADER.replaceAll(',', ';')}\r\nMill House;America/Chicago;12\r\n`],
    ['tabs', `${HEADER.replaceAll(',', '\t')}\nMill House\tAmerica/Chicago\t12`],
    ['a byte order mark', `\uFEFF${HEADER}\nMill House,America/Chicago,12`],
    ['quotes round everything', `"name","time_zone","outlets"\n"Mill House","America/Chicago","12"`],
    ['other capitals and blanks in the header', 'Name;Time Zone;OUTLETS\nMill House; America/Chicago ;12'],
    ['columns in another order', 'outlets,name,time_zone\n12,Mill House,America/Chicago'],
    ['empty rows and empty columns', `,${HEADER},\n,,,,\n,Mill House,America/Chicago,12,\n,,,,\n`],
  ])('may have %s', (_, text) => {
    const { sites, faults } = check(text);
    expect(faults).toEqual([]);
    expect(sites).toMatchObject([
      {
        name: 'Mill House',
        action: 'add',
        fields: { name: 'Mill House', timeZone: 'America/Chicago', outlets: 12 },
      },
    ]);
  });

  test('may hold line ends and separators in a quoted cell, and rows are counted as a spreadsheet counts them', () => {
    const { sites, faults } = check(
      `${HEADER},access_notes\nMill House,America/Chicago,12,"Key at the desk,\nask for ""Ada"""\nHarbour,Nowhere,1,\n`,
    );
    expect(sites[0]!.fields).toMatchObject({ accessNotes: 'Key at the desk,\nask for "Ada"' });
    expect(faults).toMatchObject([{ row: 3, column: 'time_zone', value: 'Nowhere' }]);
  });

  test.each([
    ['not UTF-8', 'name,time_zone,outlets\nM\uFFFDhle,Europe/Berlin,1', 'sites null null: is not UTF-8 text'],
    ['UTF-16', 'n\0a\0m\0e\0', 'sites null null: is not UTF-8 text'],
    ['an open quote', `${HEADER}\n"Mill House,America/Chicago,12`, 'sites null null: can’t be read as CSV'],
    ['an unknown column', `${HEADER},colour\n`, 'sites 1 colour: there is no such column'],
    ['a column twice', `${HEADER},outlets\n`, 'sites 1 outlets: stands in the header twice'],
    ['no name column', 'town\nElm Falls', 'sites 1 name: is missing from the header row'],
    ['nothing in it', '\n', 'sites 1 name: is missing from the header row'],
  ])('is refused for %s', (_, text, fault) => {
    expect(told(check(text))[0]).toContain(fault);
    expect(check(text).sites).toEqual([]);
  });
});

describe('a row', () => {
  test.each([
    ['a decimal comma', ',latitude', ';"41,88"', 'latitude: has a comma: write a decimal point'],
    ['a comma between thousands', '', '', 'outlets: has a comma'],
    ['a unit', ',latitude', ',41.88°', 'latitude: must be a number, without a unit'],
    ['a place beyond the poles', ',latitude', ',91', 'latitude: '],
    ['an unknown provider', ',provider', ',Baylin', 'provider: there is no provider of this name'],
    ['an unknown plan', ',plan', ',Basic', 'plan: there is no channel plan of this name'],
  ])('with %s is told by its column', (name, column, cell, fault) => {
    const outlets = name === 'a comma between thousands' ? '"1,200"' : '12';
    const row = `Mill House,America/Chicago,${outlets}${cell.replace(';', ',')}`;
    const said = told(check(`${HEADER}${column}\n${row}\n`));
    expect(said).toHaveLength(1);
    expect(said[0]).toContain(`sites 2 ${fault}`);
  });

  test('that lacks what a new site needs says so once a column', () => {
    expect(told(check('name,time_zone,outlets\nMill House,,\n'))).toEqual([
      expect.stringContaining('sites 2 time_zone: is missing'),
      expect.stringContaining('sites 2 outlets: is missing'),
    ]);
  });

  test('with more cells than the header is refused: an unquoted comma has split a text', () => {
    expect(told(check(`${HEADER}\nMill House,America/Chicago,12,and more\n`))).toEqual([
      expect.stringContaining('sites 2 null: the row has more cells than the header'),
    ]);
  });

  test('of a name that stood before is told, and the first is kept', () => {
    const result = check(`${HEADER}\nMill House,America/Chicago,1\nMill House,America/Chicago,2\n`);
    expect(told(result)).toEqual([expect.stringContaining('sites 3 name: stands in row 2 already')]);
    expect(result.sites.map(({ row, action }) => [row, action])).toEqual([[2, 'add']]);
  });
});

describe('points', () => {
  const SITES = `${HEADER}\nMill House,America/Chicago,12\nHarbour,America/Chicago,3\n`;
  const POINTS = 'site,point,kind,fed_by,interval_minutes\n';

  test('come in any order, with the kind in the words of the screen', () => {
    const result = check(
      SITES,
      `${POINTS}Mill House,room,outlet,out,2.5\nMill House,out,Gear Output,handoff,\nMill House,handoff,Handoff,,\n`,
    );
    expect(result.faults).toEqual([]);
    expect(result.sites[0]).toMatchObject({ pointsAdded: 3, action: 'add' });
    expect(result.sites[0]!.entries.map(({ entry }) => entry)).toMatchObject([
      { name: 'room', kind: 'outlet', fedBy: 'out', intervalS: 150 },
      { name: 'out', kind: 'gear-output', fedBy: 'handoff' },
      { name: 'handoff', kind: 'handoff', fedBy: null },
    ]);
  });

  test('with a fault refuse their own site as a whole and no other', () => {
    const result = check(
      SITES,
      `${POINTS}Mill House,handoff,handoff,,\nMill House,room,outlet,atic,\nHarbour,handoff,handoff,,\nHarbur,x,handoff,,\n`,
    );
    expect(told(result)).toEqual([
      expect.stringContaining(
        'points 3 fed_by: there is no point "atic" at the site: name one of handoff, room',
      ),
      expect.stringContaining('points 5 site: there is no such site'),
    ]);
    expect(result.sites.map(({ name, action, pointsAdded }) => [name, action, pointsAdded])).toEqual([
      ['Mill House', 'refuse', 0],
      ['Harbour', 'add', 1],
      ['Harbur', 'refuse', 0],
    ]);
  });
});

describe('a site that is known by its name', () => {
  const site = SiteSetupSchema.parse({
    siteId: 5,
    name: 'Mill House',
    town: 'Elm Falls',
    address: '',
    timeZone: 'America/Chicago',
    latitude: null,
    longitude: null,
    outlets: 12,
    providerId: null,
    planId: null,
    contact: '',
    accessNotes: '',
    createdAt: '2026-01-01T00:00:00Z',
  });
  const things = { ...NOTHING, sites: [{ site, points: [] }] };

  test('is left, updated, or seen to be the same', () => {
    const row = 'name,outlets,provider\nMill House,14,Bayline\n';
    expect(check(row, '', things, 'skip').sites).toMatchObject([{ action: 'skip' }]);
    expect(check(row, '', things).sites).toMatchObject([
      { action: 'update', fields: { outlets: 14, providerId: 4 } },
    ]);
    expect(check('name,outlets\nMill House,12\n', '', things).sites).toMatchObject([{ action: 'unchanged' }]);
  });

  test('keeps what an empty cell says nothing of', () => {
    expect(check('name,town,outlets\nMill House,,12\n', '', things).sites).toMatchObject([
      { action: 'unchanged' },
    ]);
  });

  test('twice is refused: the file can’t mean both', () => {
    const twice = { ...things, sites: [...things.sites, { site: { ...site, siteId: 6 }, points: [] }] };
    expect(told(check('name\nMill House\n', '', twice))).toEqual([
      expect.stringContaining('sites 2 name: 2 sites here have this name'),
    ]);
  });
});

test('the templates can be brought in as they are', () => {
  const [sites, points] = importForm().files;
  const result = check(sites!.template, points!.template);
  expect(result.faults).toEqual([]);
  expect(result.sites.map(({ name, pointsAdded }) => [name, pointsAdded])).toEqual([
    ['Mill House', 3],
    ['Harbour Court', 1],
  ]);
});
