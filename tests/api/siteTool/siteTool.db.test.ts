import { execFile } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { promisify } from 'node:util';
import { serve } from '@hono/node-server';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { USAGE } from '../../../api/siteTool/usage.ts';
import { withApp } from '../../support/testApp.ts';

const run = promisify(execFile);
const levelkeep = withApp();
let url = '';
let folder = '';
let server: ReturnType<typeof serve>;

beforeAll(async () => {
  folder = mkdtempSync(path.join(tmpdir(), 'levelkeep-tool-'));
  url = await new Promise((resolve) => {
    server = serve({ fetch: levelkeep.app.fetch, hostname: '127.0.0.1', port: 0 }, ({ port }) =>
      resolve(`http://127.0.0.1:${port}`),
    );
  });
  await levelkeep.send('manager', 'POST', '/api/providers', { name: 'Bayline' });
  const channels = [57, 63, 69].map((centreMhz, i) => ({
    channel: String(i + 2),
    centreMhz,
    widthMhz: 6,
    modulation: 'qam256',
  }));
  const plan = { name: 'Bayline basic', raster: 'STD', effectiveFrom: '2026-01-01T00:00:00Z', channels };
  await levelkeep.send('manager', 'POST', '/api/plans', plan);
});
afterAll(() => {
  server.close();
  rmSync(folder, { recursive: true, force: true });
});

interface Ran {
  code: number;
  stdout: string;
  stderr: string;
}

/** The tool as a shell runs it. */
async function site(...args: string[]): Promise<Ran> {
  const env = { ...process.env, LEVELKEEP_URL: url, LEVELKEEP_TOKEN: levelkeep.tokens.manager };
  try {
    return { code: 0, ...(await run(process.execPath, ['api/siteTool/main.ts', ...args], { env })) };
  } catch (error) {
    return error as Ran;
  }
}

function file(name: string, text: string | Buffer): string {
  const whole = path.join(folder, name);
  writeFileSync(whole, text);
  return whole;
}

describe('a site by command line', () => {
  const shown = USAGE.slice(USAGE.indexOf('The file of create') + 19, USAGE.indexOf('Exit codes'));

  test('is made from the very file that --help shows, and a second run makes nothing twice', async () => {
    const json = file('house.json', shown);
    expect(await site('create', json)).toMatchObject({
      code: 0,
      stdout: expect.stringContaining('2 of 2 points added'),
    });
    const again = await site('create', json);
    expect(again.stdout).toContain('was there already');
    expect(again.stdout).toContain('0 of 2 points added');
  });

  test('says what it lacks, with exit code 1', async () => {
    const { code, stdout } = await site('missing', 'Mill House');
    expect(code).toBe(1);
    expect(stdout).toContain('plan: done');
    expect(stdout).toContain('key: A site key for what sends the sweeps.');
  });

  test('gets a key that sends, an agent config, and a baseline signed with the token’s name', async () => {
    const { stdout: key } = await site('key', 'Mill House', '--label', 'box');
    expect(JSON.parse((await site('agent-config', 'Mill House')).stdout)).toMatchObject({
      probes: [{ point: 'handoff', every: '15m', driver: 'modem', host: '192.0.2.10' }],
    });
    const sweeps = [1, 2, 3].map((minute) => ({
      point: 'handoff',
      at: `2026-03-01T12:0${minute}:00Z`,
      instrument: 'probe-7',
      freq_mhz: [57, 63, 69],
      level_dbmv: [20, 20, 20],
      mer_db: [40, 40, 40],
    }));
    await fetch(`${url}/ingest/sweeps`, {
      method: 'POST',
      headers: { authorization: `Bearer ${key.trim()}`, 'content-type': 'application/json' },
      body: JSON.stringify({ sweeps }),
    });
    const window = ['--from', '2026-03-01T12:00:00Z', '--to', '2026-03-01T13:00:00Z'];
    expect((await site('find-plan', 'Mill House', 'handoff')).stdout).toContain('channels: 2, 3, 4');
    expect((await site('propose', 'Mill House', 'handoff', ...window)).stdout).toContain('level 20.0 dBmV');
    const accepted = await site('accept', 'Mill House', 'handoff', ...window);
    expect(accepted.stdout).toContain('version 1, accepted by manager token');
  });

  test('names what is wrong and what to do, each with its own exit code', async () => {
    expect(await site('missing', 'Mill Hous')).toMatchObject({
      code: 2,
      stderr: expect.stringContaining('there is no site'),
    });
    expect((await site('propose', 'Mill House', 'riser-amp')).code).toBe(3);
    expect(await site('missing', '1', '--url', 'http://127.0.0.1:1')).toMatchObject({ code: 4 });
    const wrong = await site(
      'create',
      file('wrong.json', '{ "name": "X", "timeZone": "Mars", "outlets": 1, "colour": 1 }'),
    );
    expect(wrong).toMatchObject({
      code: 2,
      stderr: expect.stringContaining('timeZone: must be an IANA time zone'),
    });
    const stranger = await site(
      'create',
      file('p.json', '{ "name": "X", "timeZone": "UTC", "outlets": 1, "provider": "Nobody" }'),
    );
    expect(stranger.stderr).toContain('there is no provider "Nobody"');
  });
});

test('a template comes out as it goes in; a sheet in another encoding is refused', async () => {
  const { stdout } = await site('template', 'sites');
  const looked = await site('import', '--sites', file('sites.csv', stdout));
  expect(looked.stdout).toContain(
    'nothing is kept; it would be: sites: 1 added, 0 updated, 0 unchanged, 1 left as they are',
  );
  const done = await site('import', '--sites', path.join(folder, 'sites.csv'), '--apply');
  expect(done).toMatchObject({ code: 0, stdout: expect.stringContaining('done: sites: 1 added') });
  const latin1 = file('latin.csv', Buffer.from('name\nM\u00fchle\n', 'latin1'));
  expect(await site('import', '--sites', latin1)).toMatchObject({ code: 2 });
});
