import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { createCommandSource } from '../../../ingest/agent/sources/commandSource.ts';

const NOW = { wallMs: Date.parse('2026-03-01T12:00:00Z'), uptimeMs: 77 };
let folder: string;
beforeAll(() => {
  folder = mkdtempSync(path.join(tmpdir(), 'levelkeep-command-'));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

function read(args: readonly string[], signal = new AbortController().signal, program = '/bin/sh') {
  const options = {
    program,
    args,
    folder,
    point: 'riser',
    instrument: 'meter-3',
    clock: { read: () => NOW },
  };
  return createCommandSource(options).read(signal);
}
const printing = (value: unknown) => read(['-c', 'cat <<"END"\n'.concat(JSON.stringify(value), '\nEND')]);
const refusal = (message: string) =>
  expect.objectContaining({ kind: 'instrument', message: expect.stringContaining(message) });

test('one sweep without a time gets that of its start, by this machine’s clock', async () => {
  const { readings } = await printing({ freq_mhz: [63, 57], level_dbmv: [19.8, 20.1] });
  expect(readings).toMatchObject([
    {
      uptimeMs: 77,
      sweep: { atMs: NOW.wallMs, instrument: 'meter-3', freqMhz: [57, 63], levelDbmv: [20.1, 19.8] },
    },
  ]);
});

test('several sweeps with times and names of their own keep them', async () => {
  const sweep = { point: 'riser', instrument: 'own', freq_mhz: [57], level_dbmv: [null], lost: [57] };
  const { readings } = await printing({
    sweeps: [
      { ...sweep, at: '2026-03-01T10:00:00Z' },
      { ...sweep, at: '2026-03-01T10:15:00Z' },
    ],
  });
  expect(readings.map(({ sweep: { atMs }, uptimeMs }) => [new Date(atMs).toISOString(), uptimeMs])).toEqual([
    ['2026-03-01T10:00:00.000Z', null],
    ['2026-03-01T10:15:00.000Z', null],
  ]);
  expect(readings[0]!.sweep).toMatchObject({ instrument: 'own', lostMhz: [57] });
});

test.each([
  [{ freq_mhz: [57] }, 'level_dbmv: is missing'],
  [
    { point: 'attic', freq_mhz: [57], level_dbmv: [1] },
    'point: it is for "attic", this probe stands at “riser”',
  ],
  [
    {
      sweeps: [
        { freq_mhz: [57], level_dbmv: [1] },
        { freq_mhz: [57], level_dbmv: ['x'] },
      ],
    },
    'sweeps[1]: level_dbmv[0]: is no number',
  ],
  [{ freq_mhz: [57], level_dbmv: [1], colour: 'red' }, 'colour: is no field of a sweep'],
  [[1, 2], 'neither one sweep'],
  [{ sweeps: 3 }, '"sweeps" is no list'],
])('output %j is refused by its field', async (value, message) => {
  await expect(printing(value)).rejects.toThrow(refusal(message));
});

test('output that is no JSON, or none at all, is said to be so', async () => {
  await expect(read(['-c', 'echo hello'])).rejects.toThrow(refusal('it is not JSON'));
  await expect(read(['-c', ':'])).rejects.toThrow(refusal('it is empty'));
});

test('a program that fails is told with its exit code and what it said', async () => {
  await expect(read(['-c', 'echo "no meter on the bus" >&2; exit 7'])).rejects.toThrow(
    refusal('/bin/sh ended with exit code 7: no meter on the bus'),
  );
  await expect(read(['-c', 'kill -9 $$'])).rejects.toThrow(refusal('ended with SIGKILL'));
  await expect(read([], undefined, path.join(folder, 'nothing'))).rejects.toThrow(
    refusal('can’t be started'),
  );
});

test('arguments reach the program as they are: there is no shell', async () => {
  const script = path.join(folder, 'arguments.mjs');
  writeFileSync(script, 'console.error(process.argv.slice(2).join("|")); process.exit(1)');
  await expect(read([script, '$HOME', '; echo x', '*'], undefined, process.execPath)).rejects.toThrow(
    refusal('$HOME|; echo x|*'),
  );
});

test('a program that hangs is ended with all that it started', async () => {
  const started = Date.now();
  await expect(read(['-c', 'sleep 60 & sleep 60; wait'], AbortSignal.timeout(100))).rejects.toThrow(
    'timeout',
  );
  expect(Date.now() - started).toBeLessThan(5_000);
});

test('a program that prints without end is ended', async () => {
  await expect(read(['-c', 'yes'])).rejects.toThrow(refusal('printed more than'));
});
