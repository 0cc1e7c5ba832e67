import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { ReadingWay } from '../../../api/schemas/readingWays.ts';
import { agentConfigOf } from '../../../api/setup/agentConfig.ts';

let folder: string;
beforeAll(() => {
  folder = mkdtempSync(path.join(tmpdir(), 'levelkeep-agent-'));
  writeFileSync(path.join(folder, 'site.key'), 'levelkeep_1_secret\n', { mode: 0o600 });
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const point = (pointId: number, name: string, intervalS = 900) => ({ pointId, name, label: '', intervalS });
const made = (
  points: ReturnType<typeof point>[],
  ways: [number, ReadingWay][],
  name = 'Mühle "Süd" / Haus 3',
) =>
  agentConfigOf({
    site: { name, timeZone: 'Europe/Berlin' },
    points,
    ways: new Map(ways),
    origin: 'https://levelkeep.example',
  });

const EVERY_WAY = made(
  [
    point(1, 'handoff'),
    point(2, 'riser: amp #5', 90),
    point(3, 'attic', 7200),
    point(4, 'roof', 10),
    point(5, 'typed one'),
  ],
  [
    [1, { way: 'agent-modem', host: '192.0.2.10', user: '' }],
    [2, { way: 'agent-modem', host: '192.0.2.11', user: 'probe' }],
    [3, { way: 'agent-folder', folder: 'attic', instrument: 'meter "3"', format: 'csv' }],
    [4, { way: 'agent-command', program: '/opt/read meter' }],
    [5, { way: 'typed' }],
  ],
);

describe('the config that is handed out', () => {
  test('passes the agent’s own --check, with every point that an agent reads in it', () => {
    writeFileSync(path.join(folder, 'agent.json'), EVERY_WAY.text!);
    const { status, stdout, stderr } = spawnSync(
      process.execPath,
      ['ingest/agent/main.ts', '--config', path.join(folder, 'agent.json'), '--check'],
      {
        encoding: 'utf8',
        env: {
          ...process.env,
          LEVELKEEP_COMMUNITY: 'public-of-ours',
          LEVELKEEP_AUTH_PASSWORD: 'eight letters',
          LEVELKEEP_PRIV_PASSWORD: 'eight letters',
        },
      },
    );
    expect(stderr).toBe('');
    expect(status).toBe(0);
    expect(stdout).toContain('muhle-sud-haus-3: 4 probes, sent to https://levelkeep.example');
    for (const line of ['handoff, modem:', 'riser: amp #5, modem:', 'attic, folder:', 'roof, command:']) {
      expect(stdout).toContain(line);
    }
    expect(stdout).toContain('times in Europe/Berlin');
  });

  test('reads each point as often as it is set up, as near as the agent allows, and says where it does not', () => {
    const { probes } = JSON.parse(EVERY_WAY.text!) as { probes: { point: string; every: string }[] };
    expect(probes.map(({ every }) => every)).toEqual(['15m', '90s', '2h', '30s']);
    expect(EVERY_WAY.notes.filter((note) => note.startsWith('roof'))).toEqual([
      'roof: the agent reads every 30 s to 24 h, so it takes 30s.',
    ]);
  });

  test('holds no secret, and names those that a person must set', () => {
    expect(EVERY_WAY.text).not.toMatch(/community|password/i);
    expect(EVERY_WAY.notes.join(' ')).toMatch(/LEVELKEEP_COMMUNITY.*LEVELKEEP_AUTH_PASSWORD/);
    expect(EVERY_WAY.notes.join(' ')).toContain('attic: put a file of the meter through');
  });
});

test('without a point for an agent there is no config, and one’s own program gets its command line', () => {
  const config = made([point(1, 'handoff')], [[1, { way: 'script' }]]);
  expect(config.text).toBeNull();
  expect(config.curl).toContain('curl https://levelkeep.example/ingest/sweeps');
  const body = /-d '(.*)'$/s.exec(config.curl!)![1]!;
  expect(JSON.parse(body)).toMatchObject({ sweeps: [{ point: 'handoff' }] });
});
