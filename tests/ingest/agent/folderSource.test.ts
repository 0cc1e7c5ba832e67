import {
  existsSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  utimesSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { mappingSchema } from '../../../ingest/agent/config/mapping.ts';
import { createFolderSource } from '../../../ingest/agent/folder/folderSource.ts';

const never = new AbortController().signal;
let folder: string;
beforeEach(() => {
  folder = mkdtempSync(path.join(tmpdir(), 'levelkeep-folder-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const source = (from = folder) =>
  createFolderSource({
    folder: from,
    endings: ['.csv'],
    quietMs: 10_000,
    format: {
      format: 'csv',
      csv: { header: true, skipLines: 0 },
      mapping: mappingSchema.parse({
        columns: { frequency: 'Freq', level: 'Level' },
        levelUnit: 'dBmV',
        time: { from: 'file' },
      }),
      point: 'attic',
    },
    instrument: 'meter-3',
    zone: 'UTC',
    clock: { read: () => ({ wallMs: Date.now(), uptimeMs: 0 }) },
  });

/** A file last written so many seconds ago. */
function put(name: string, text: string, agoS = 60): string {
  const file = path.join(folder, name);
  writeFileSync(file, text);
  const when = Date.now() / 1000 - agoS;
  utimesSync(file, when, when);
  return file;
}
const GOOD = 'Freq,Level\n57,20.1\n';

test('files become sweeps, oldest first, and go to done/ once these are in safety', async () => {
  put('new.csv', 'Freq,Level\n57,2\n', 60);
  put('old.csv', 'Freq,Level\n57,1\n', 120);
  const taking = await source().read(never);
  expect(taking.readings.map(({ sweep }) => sweep.levelDbmv[0])).toEqual([1, 2]);
  expect(readdirSync(folder).sort()).toEqual(['new.csv', 'old.csv']);
  await taking.settle();
  expect(readdirSync(folder)).toEqual(['done']);
  expect(readdirSync(path.join(folder, 'done')).sort()).toEqual(['new.csv', 'old.csv']);
});

test('a file that can’t be read goes to refused/ with the reason; the others are taken', async () => {
  put('bad.csv', 'Freq,Level\n57,loud\n');
  put('good.csv', GOOD);
  const taking = await source().read(never);
  expect(taking.readings).toHaveLength(1);
  expect(taking.refused).toEqual(['bad.csv: row 2, level: “loud” is no number with decimal “.”']);
  expect(readFileSync(path.join(folder, 'refused/bad.csv.reason.txt'), 'utf8')).toContain('row 2, level');
  expect(readFileSync(path.join(folder, 'refused/bad.csv'), 'utf8')).toContain('loud');
});

test('a file that was just written, or grows while it is looked at, is left alone', async () => {
  put('fresh.csv', GOOD, 1);
  const growing = put('growing.csv', GOOD);
  const reading = source().read(never);
  setTimeout(() => put('growing.csv', `${GOOD}63,19.8\n`), 300);
  expect((await reading).readings).toEqual([]);
  expect(existsSync(growing)).toBe(true);
});

test('hidden files, other endings and folders are left alone', async () => {
  put('.hidden.csv', GOOD);
  put('notes.doc', 'x');
  expect(await source().read(never)).toMatchObject({ readings: [], refused: [] });
});

test('a second file of the same name does not replace the first in done/', async () => {
  for (let i = 0; i < 2; i++) {
    put('scan.csv', GOOD, 60 + i);
    await (await source().read(never)).settle();
  }
  expect(readdirSync(path.join(folder, 'done')).sort()).toEqual(['scan-2.csv', 'scan.csv']);
});

test('a folder that is not there is told with what to do', async () => {
  await expect(source(path.join(folder, 'nowhere')).read(never)).rejects.toMatchObject({
    kind: 'instrument',
    message: expect.stringContaining('nowhere'),
    action: expect.stringContaining('make it'),
  });
});
