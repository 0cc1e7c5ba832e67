import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type Mapping, mappingSchema } from '../../../ingest/agent/config/mapping.ts';
import { cellNumber } from '../../../ingest/agent/folder/number.ts';
import { type FileFormat, readFileSweeps } from '../../../ingest/agent/folder/readFileSweeps.ts';
import { timeByTemplate, timeTemplateFault } from '../../../ingest/agent/folder/timeTemplate.ts';

const MODIFIED = Date.parse('2026-03-01T18:30:00Z');
const file = {
  name: 'attic_20260301_1215.csv',
  modifiedMs: MODIFIED,
  instrument: 'meter-3',
  zone: 'America/Chicago',
};
const plain = {
  columns: { frequency: 'Freq', level: 'Level', mer: 'MER' },
  levelUnit: 'dBmV',
  time: { from: 'file' },
} as const;

function read(text: string | Uint8Array, mapping: object = plain, csv: Partial<FileFormat['csv']> = {}) {
  const format: FileFormat = {
    format: 'csv',
    csv: { header: true, skipLines: 0, ...csv },
    mapping: mappingSchema.parse(mapping),
    point: 'attic',
  };
  return readFileSweeps(typeof text === 'string' ? new TextEncoder().encode(text) : text, format, file);
}

test('columns found by name become one sweep in rising frequency, with gaps where nothing was measured', () => {
  expect(read('Name,MER,Freq,Level\nch2,-,63,19.8\nch1,41.2,57,20.1\n')).toEqual([
    {
      atMs: MODIFIED,
      instrument: 'meter-3',
      ambientC: null,
      freqMhz: [57, 63],
      levelDbmv: [20.1, 19.8],
      merDb: [41.2, null],
      cnrDb: null,
      berPre: null,
      berPost: null,
      lostMhz: [],
    },
  ]);
});

test('semicolons, decimal commas, numbered columns and lines above the rows', () => {
  const [sweep] = read(
    'Report;of;today\n57,0;80,5\n63,25;58,5\n',
    { ...plain, columns: { frequency: 1, level: 2 }, decimal: ',', levelUnit: 'dBuV' },
    { header: false, skipLines: 1 },
  );
  expect(sweep).toMatchObject({ freqMhz: [57, 63.25], levelDbmv: [20.5, -1.5] });
});

// Figures: 60 dBµV is 1 mV, which is 0 dBmV by definition; 1 mV at 75 Ω is 13.3 nW, -48.75 dBm.
test.each([
  ['dBmV', '0', 0],
  ['dBuV', '60', 0],
  ['dBµV', '60', 0],
  ['dBm', '-48.75', 0],
])('a level in %s of %s is %d dBmV', (levelUnit, cell, levelDbmv) => {
  const [sweep] = read(`Freq,Level,MER\n57,${cell},40\n`, { ...plain, levelUnit });
  expect(sweep!.levelDbmv[0]).toBeCloseTo(levelDbmv, 2);
});

test.each([
  ['kHz', '57250', 57.25],
  ['Hz', '57250000', 57.25],
])('a frequency in %s', (frequencyUnit, cell, mhz) => {
  expect(read(`Freq,Level,MER\n${cell},1,40\n`, { ...plain, frequencyUnit })[0]!.freqMhz).toEqual([mhz]);
});

test('a level’s cell that says so names a lost channel', () => {
  const [sweep] = read('Freq,Level,MER\n57,NO SIGNAL,-\n63,19.8,38\n', { ...plain, lost: ['NO SIGNAL'] });
  expect(sweep).toMatchObject({ levelDbmv: [null, 19.8], lostMhz: [57] });
});

test('rows with times of their own make one sweep until a frequency comes again', () => {
  const time = { from: 'column', column: ['Date', 'Time'], pattern: 'DD.MM.YYYY hh:mm:ss' };
  const rows = [
    'Date;Time;Freq;Level;MER',
    '01.03.2026;12:00:00;57;1;40',
    '01.03.2026;12:00:04;63;2;40',
    '01.03.2026;12:00:30;57;3;40',
    '01.03.2026;12:30:00;63;4;40',
  ];
  const sweeps = read(rows.join('\n'), { ...plain, time });
  expect(sweeps.map(({ atMs, levelDbmv }) => [new Date(atMs).toISOString(), levelDbmv])).toEqual([
    ['2026-03-01T18:00:00.000Z', [1, 2]],
    ['2026-03-01T18:00:30.000Z', [3]],
    ['2026-03-01T18:30:00.000Z', [4]],
  ]);
});

test('text in UTF-16 and in Windows-1252 is read as it was meant', () => {
  const mapping = { ...plain, columns: { frequency: 'Freq', level: 'dBµV' }, levelUnit: 'dBµV' };
  const text = 'Freq;dBµV\r\n57;60\r\n';
  expect(read(Buffer.from(text, 'latin1'), mapping)[0]!.levelDbmv).toEqual([0]);
  expect(read(Buffer.from(`\ufeff${text}`, 'utf16le'), mapping)[0]!.levelDbmv).toEqual([0]);
  expect(read(Buffer.from(`\ufeff${text}`), mapping)[0]!.levelDbmv).toEqual([0]);
});

test('rows of a JSON file are mapped by their names', () => {
  const json = {
    scan: {
      channels: [
        { f: 57, p: 20.1 },
        { f: 63, p: null },
      ],
    },
  };
  const format: FileFormat = {
    format: 'json',
    csv: { header: true, skipLines: 0 },
    rows: 'scan.channels',
    mapping: mappingSchema.parse({ ...plain, columns: { frequency: 'f', level: 'p' } }),
    point: 'attic',
  };
  expect(readFileSweeps(Buffer.from(JSON.stringify(json)), format, file)).toMatchObject([
    { freqMhz: [57, 63], levelDbmv: [20.1, null] },
  ]);
});

test('a file of the contract’s own JSON needs no mapping', () => {
  const format: FileFormat = { format: 'contract', csv: { header: true, skipLines: 0 }, point: 'attic' };
  const sweep = { at: '2026-03-01T12:00:00Z', freq_mhz: [63, 57], level_dbmv: [1, 2] };
  expect(readFileSweeps(Buffer.from(JSON.stringify(sweep)), format, file)).toMatchObject([
    { instrument: 'meter-3', freqMhz: [57, 63], levelDbmv: [2, 1] },
  ]);
});

describe('what can’t be read is said with its row', () => {
  test.each([
    ['Freq,Level,MER\n57,abc,40\n', 'row 2, level: “abc” is no number with decimal “.”'],
    ['Freq,Level,MER\n57,"20,1",40\n', 'row 2, level: “20,1” is no number'],
    ['Freq,Level,MER\n57,1,40\n,2,40\n', 'row 3, frequency: is missing'],
    ['Freq,Level,MER\n57,1,40\n57,2,40\n', 'rows 2 and 3 both have 57 MHz'],
    ['Freq,Level,MER\n63,1,40\n57,200,40\n', 'row 3, level_dbmv: 200 is outside -60 to 80 dBmV'],
    ['Frequency,Level,MER\n57,1,40\n', 'column “Freq” is not in the header row, which has “Frequency”'],
    ['Freq,Level,MER\n', 'it has no rows with readings'],
    ['', 'column “Freq” is not in the header row'],
    ['Freq,Level,MER\n"57,1,40\n', 'Quote Not Closed'],
  ])('%j: %s', (text, message) => {
    expect(() => read(text)).toThrow(message);
  });

  test('a name or a cell without a time', () => {
    const from = (time: Mapping['time']) => ({ ...plain, time });
    expect(() =>
      read('Freq,Level,MER\n57,1,40\n', from({ from: 'name', pattern: 'YYYY-MM-DD hhmm' })),
    ).toThrow('its name “attic_20260301_1215.csv” holds no time like “YYYY-MM-DD hhmm”');
    const column = { from: 'column', column: 'MER', pattern: 'YYYY-MM-DD hh:mm' } as const;
    expect(() => read('Freq,Level,MER\n57,1,40\n', from(column))).toThrow(
      'row 2, time: “40” is no time like',
    );
  });
});

test('a table written with any separator and decimal sign is read back as it was', () => {
  const carrier = fc.record({
    mhz: fc.integer({ min: 50, max: 1000 }),
    level: fc.integer({ min: -3000, max: 6000 }).map((hundredths) => hundredths / 100),
    mer: fc.option(fc.integer({ min: 100, max: 500 }).map((tenths) => tenths / 10)),
  });
  fc.assert(
    fc.property(
      fc.uniqueArray(carrier, { selector: ({ mhz }) => mhz, minLength: 1, maxLength: 40 }),
      fc.constantFrom(',', ';', '\t', '|'),
      fc.constantFrom<'.' | ','>('.', ','),
      (carriers, separator, decimal) => {
        fc.pre(separator !== decimal);
        const cell = (value: number | null) => (value === null ? '-' : String(value).replace('.', decimal));
        const lines = carriers.map(({ mhz, level, mer }) =>
          [cell(mhz), cell(level), cell(mer)].join(separator),
        );
        const [sweep] = read([['Freq', 'Level', 'MER'].join(separator), ...lines].join('\r\n'), {
          ...plain,
          decimal,
        });
        const rising = carriers.toSorted((a, b) => a.mhz - b.mhz);
        expect(sweep!.freqMhz).toEqual(rising.map(({ mhz }) => mhz));
        expect(sweep!.levelDbmv).toEqual(rising.map(({ level }) => level + 0));
      },
    ),
  );
});

test('a file of any bytes is either read or refused in words', () => {
  fc.assert(
    fc.property(fc.uint8Array({ maxLength: 300 }), (bytes) => {
      try {
        expect(read(bytes).length).toBeGreaterThan(0);
      } catch (error) {
        expect((error as Error).message).toMatch(/\w{3}/);
        expect(error).not.toBeInstanceOf(TypeError);
      }
    }),
  );
});

test.each([
  ['1.5', '.', 1.5],
  ['-1,5', ',', -1.5],
  ['−1.5', '.', -1.5],
  ['+2', '.', 2],
  ['1e-6', '.', 1e-6],
  ['1.5', ',', null],
  ['1,234.5', '.', null],
  ['12 dB', '.', null],
  ['', '.', null],
] as const)('the cell “%s” with decimal “%s” is %j', (cell, decimal, value) => {
  expect(cellNumber(cell, decimal)).toBe(value);
});

describe('times by pattern', () => {
  const utc = (text: string, pattern: string, part: 'whole' | 'anywhere' = 'whole') => {
    const ms = timeByTemplate(text, pattern, 'UTC', part);
    return ms === null ? null : new Date(ms).toISOString().slice(0, 19);
  };
  test.each([
    ['2026-03-01 12:15:07', 'YYYY-MM-DD hh:mm:ss', '2026-03-01T12:15:07'],
    ['1/3/26 9:05', 'DD/MM/YY hh:mm', '2026-03-01T09:05:00'],
    ['03/01/2026 12:05 AM', 'MM/DD/YYYY hh:mm AP', '2026-03-01T00:05:00'],
    ['03/01/2026 12:05 pm', 'MM/DD/YYYY hh:mm AP', '2026-03-01T12:05:00'],
    ['01-Mar-2026 12:05', 'DD-MMM-YYYY hh:mm', '2026-03-01T12:05:00'],
    ['2026-03-01T12:15:07+01:00', 'iso', '2026-03-01T11:15:07'],
    ['2026-02-30 12:00', 'YYYY-MM-DD hh:mm', null],
    ['2026-03-01 25:00', 'YYYY-MM-DD hh:mm', null],
    ['2026-03-01 13:00 AM', 'YYYY-MM-DD hh:mm AP', null],
    ['01-Mai-2026 12:05', 'DD-MMM-YYYY hh:mm', null],
    ['x2026-03-01 12:15', 'YYYY-MM-DD hh:mm', null],
  ])('“%s” by “%s” is %s', (text, pattern, expected) => {
    expect(utc(text, pattern)).toBe(expected);
  });

  test('within a file’s name, and not within another number', () => {
    expect(utc('scan_20260301_1215.csv', 'YYYYMMDD_hhmm', 'anywhere')).toBe('2026-03-01T12:15:00');
    expect(utc('scan_920260301_1215.csv', 'YYYYMMDD_hhmm', 'anywhere')).toBe(null);
  });

  test('a pattern that names no moment is refused', () => {
    expect(timeTemplateFault('YYYY-MM-DD')).toContain('does not name');
    expect(timeTemplateFault('YYYY-MM-DD MM hh:mm')).toContain('MM twice');
    expect(timeTemplateFault('YYYY-MM-DD hh:mm')).toBe(null);
  });
});
