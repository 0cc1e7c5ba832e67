import { beforeAll, describe, expect, test } from 'vitest';
import { claimDue } from '../../../api/probes/claimDue.ts';
import { finishRun } from '../../../api/probes/finishRun.ts';
import { openProbeSecrets } from '../../../api/probes/probeSecrets.ts';
import { pruneRuns } from '../../../api/probes/pruneRuns.ts';
import type { ProbeFleet, ProbeRuns, SiteProbes } from '../../../api/schemas/probes.ts';
import { fieldsOf, ok } from '../../support/answers.ts';
import { givenPoint, givenSite } from '../../support/givenSite.ts';
import { SECRET, withApp } from '../../support/testApp.ts';

const levelkeep = withApp();
const COMMUNITY = 'quiet words of the riser';
const DAY_MS = 86_400_000;
let siteId: number;
let pointId: number;

const modem = (changes: object = {}) => ({
  pointId,
  name: 'modem in the riser',
  kind: 'modem',
  settings: { host: '192.0.2.10', access: { version: '2c' } },
  secrets: { community: COMMUNITY },
  schedule: { kind: 'every', intervalS: 300 },
  ...changes,
});
const http = (changes: object = {}) => ({
  ...modem(),
  name: 'meter in the attic',
  kind: 'http',
  settings: { url: 'https://meter.example/sweep.json', format: { is: 'contract' }, ...changes },
  secrets: {},
});
const at = (probeId?: number, rest = '') =>
  `/api/sites/${siteId}/probes${probeId === undefined ? '' : `/${probeId}`}${rest}`;

async function add(changes: object = {}): Promise<number> {
  return (await ok<{ probeId: number }>(await levelkeep.send('manager', 'POST', at(), modem(changes))))
    .probeId;
}

async function probesOfSite() {
  return (await ok<SiteProbes>(await levelkeep.send('viewer', 'GET', at()))).probes;
}

beforeAll(async () => {
  siteId = await givenSite(levelkeep.db, { name: 'Alder Court', town: 'Northby' });
  pointId = await givenPoint(levelkeep.db, siteId, { name: 'handoff', kind: 'handoff', label: 'Cellar' });
});

describe('secrets of a probe', () => {
  test('are sealed, and stand in no answer and no column in the clear', async () => {
    const probeId = await add({ name: 'sealed' });
    const answers = await Promise.all(
      [at(), at(probeId, '/runs'), '/api/probes'].map(async (path) =>
        (await levelkeep.send('administrator', 'GET', path)).text(),
      ),
    );
    for (const answer of answers) expect(answer).not.toContain(COMMUNITY);

    const { rows } = await levelkeep.pool.query(
      'select probe::text as row, sealed, instrument_key from probe where probe_id = $1',
      [probeId],
    );
    expect(rows[0].row).not.toContain(COMMUNITY);
    expect(rows[0].sealed.includes(COMMUNITY)).toBe(false);
    expect(openProbeSecrets(SECRET, rows[0].instrument_key, rows[0].sealed)).toEqual({
      community: COMMUNITY,
    });
    await ok(await levelkeep.send('manager', 'DELETE', at(probeId)));
  });

  test('stay when something else is changed, and must be given again for another address', async () => {
    const probeId = await add({ name: 'moved' });
    const sealed = async () =>
      await levelkeep.db
        .selectFrom('probe')
        .select(['sealed', 'instrument_key'])
        .where('probe_id', '=', probeId)
        .executeTakeFirstOrThrow();
    await ok(await levelkeep.send('manager', 'PATCH', at(probeId), { name: 'renamed', timeoutS: 20 }));
    const kept = await sealed();
    expect(openProbeSecrets(SECRET, kept.instrument_key, kept.sealed)).toEqual({ community: COMMUNITY });

    const elsewhere = { settings: { host: '192.0.2.66', access: { version: '2c' } } };
    const refused = await levelkeep.send('manager', 'PATCH', at(probeId), elsewhere);
    expect(await fieldsOf(refused)).toEqual({
      'secrets.community': 'give it again: what is kept is for the address that the probe had',
    });
    const again = { ...elsewhere, secrets: { community: 'other words' } };
    await ok(await levelkeep.send('manager', 'PATCH', at(probeId), again));
    const now = await sealed();
    expect(openProbeSecrets(SECRET, now.instrument_key, now.sealed)).toEqual({ community: 'other words' });
    expect(() => openProbeSecrets(SECRET, now.instrument_key, kept.sealed)).toThrow('for another instrument');
    await ok(await levelkeep.send('manager', 'DELETE', at(probeId)));
  });
});

describe('a probe that cannot be', () => {
  test.each([
    ['without a community', { secrets: {} }, 'secrets.community'],
    [
      'with a short SNMP v3 password',
      {
        settings: { host: '192.0.2.10', access: { version: '3', user: 'probe', auth: 'sha256' } },
        secrets: { authPassword: 'short' },
      },
      'secrets.authPassword',
    ],
    [
      'with privacy but no authentication',
      { settings: { host: '192.0.2.10', access: { version: '3', user: 'probe', priv: 'aes' } } },
      'settings.access.auth',
    ],
    [
      'at an address with a scheme',
      { settings: { host: 'http://192.0.2.10/', access: { version: '2c' } } },
      'settings.host',
    ],
    ['at no point of the site', { pointId: 999_999 }, 'pointId'],
    ['read every second', { schedule: { kind: 'every', intervalS: 1 } }, 'schedule.intervalS'],
    [
      'by an expression that is none',
      { schedule: { kind: 'cron', expression: '99 * * * *' } },
      'schedule.expression',
    ],
    [
      'on a day that never comes',
      { schedule: { kind: 'cron', expression: '0 0 30 2 *' } },
      'schedule.expression',
    ],
    ['once a year', { schedule: { kind: 'cron', expression: '0 6 1 1 *' } }, 'schedule.expression'],
    ['that runs a program', { kind: 'command', settings: { program: '/bin/sh' } }, 'kind'],
  ])('%s is refused, with the field named', async (_, changes, field) => {
    const answer = await levelkeep.send('manager', 'POST', at(), modem(changes));
    expect(Object.keys(await fieldsOf(answer))).toContain(field);
  });

  test('has a name that another probe of the site has', async () => {
    const probeId = await add({ name: 'twice' });
    const answer = await levelkeep.send('manager', 'POST', at(), modem({ name: 'twice' }));
    expect(await fieldsOf(answer)).toEqual({ name: 'is taken by another probe of the site: choose another' });
    await ok(await levelkeep.send('manager', 'DELETE', at(probeId)));
  });
});

test('a technician has a probe read, but cannot say where to', async () => {
  const probeId = await add({ name: 'asked' });
  await ok(await levelkeep.send('technician', 'POST', at(probeId, '/readings')));
  expect((await levelkeep.send('viewer', 'POST', at(probeId, '/readings'))).status).toBe(403);
  expect((await levelkeep.send('technician', 'POST', at(), modem())).status).toBe(403);
  const elsewhere = { settings: { host: '10.0.0.1', access: { version: '2c' } } };
  expect((await levelkeep.send('technician', 'PATCH', at(probeId), elsewhere)).status).toBe(403);
  expect((await levelkeep.send('technician', 'POST', at(999_999, '/readings'))).status).toBe(404);
  await ok(await levelkeep.send('manager', 'DELETE', at(probeId)));
});

test('a probe is paused and resumed, and comes back into the queue', async () => {
  const probeId = await add({ name: 'paused' });
  await ok(await levelkeep.send('manager', 'PATCH', at(probeId), { enabled: false }));
  expect(await probesOfSite()).toMatchObject([{ probeId, standing: 'paused', dueAt: null }]);
  await ok(await levelkeep.send('manager', 'PATCH', at(probeId), { enabled: true }));
  const [probe] = await probesOfSite();
  expect(probe!.standing).toBe('unread');
  expect(Date.parse(probe!.dueAt!)).toBeGreaterThan(Date.now());
  await ok(await levelkeep.send('manager', 'DELETE', at(probeId)));
  expect(await probesOfSite()).toEqual([]);
});

test('a point that is read cannot be removed before its probe', async () => {
  const readId = await givenPoint(levelkeep.db, siteId, { name: 'floor 3', fed_by: pointId });
  const probeId = await add({ name: 'on floor 3', pointId: readId });
  const removal = () => levelkeep.send('manager', 'DELETE', `/api/sites/${siteId}/points/${readId}`);
  const refused = await removal();
  expect(refused.status).toBe(409);
  expect(await refused.json()).toMatchObject({ error: { code: 'point-has-probes' } });
  await ok(await levelkeep.send('manager', 'DELETE', at(probeId)));
  await ok(await removal());
});

describe('an instrument with a web address', () => {
  const records = (mapping: object) => ({
    format: { is: 'records', mapping: { levelUnit: 'dBmV', ...mapping } },
  });
  const byHeader = (...names: string[]) => ({ access: { by: 'headers', names } });

  test.each([
    ['that is none', { url: 'meter.example' }, 'settings.url', /no http or https address/],
    ['of a file', { url: 'file:///etc/passwd' }, 'settings.url', /no http or https address/],
    ['with a password', { url: 'http://a:b@meter.example/' }, 'settings.url', /as a header/],
    ['with a token', { url: 'http://meter.example/?api_token=5' }, 'settings.url', /api_token/],
    ['and no secret', byHeader('X-Key'), 'secrets.X-Key', /is missing/],
    ['and no password', { access: { by: 'password', user: 'a' } }, 'secrets.password', /is missing/],
    ['and a header of our own', byHeader('Host'), 'settings.access.names.0', /set by the program/],
    ['and a header twice', byHeader('X-Key', 'x-key'), 'settings.access.names', /same name twice/],
    [
      'and a list without a field for the level',
      records({ columns: { frequency: 'f' } }),
      'settings.format.mapping.columns.level',
      /./,
    ],
    [
      'and a list with fields by number',
      records({ columns: { frequency: 1, level: 2 } }),
      'settings.format.mapping.columns',
      /by its number/,
    ],
  ])('%s is refused, with the field named', async (_, settings, field, reason) => {
    const answer = await levelkeep.send('manager', 'POST', at(), http(settings));
    expect((await fieldsOf(answer))[field]).toMatch(reason);
  });

  test('is kept, shown without its secret, found by its address, and changed within its kind', async () => {
    const given = { ...http(byHeader('X-Key')), secrets: { 'X-Key': COMMUNITY } };
    const { probeId } = await ok<{ probeId: number }>(await levelkeep.send('manager', 'POST', at(), given));
    const shown = await (await levelkeep.send('administrator', 'GET', at())).text();
    expect(shown).not.toContain(COMMUNITY);
    expect(JSON.parse(shown).probes).toMatchObject([
      { kind: 'http', settings: { url: 'https://meter.example/sweep.json', access: { names: ['X-Key'] } } },
    ]);
    const path = '/api/probes?search=meter.example';
    const { rows } = await ok<ProbeFleet>(await levelkeep.send('viewer', 'GET', path));
    expect(rows).toMatchObject([{ probeId, address: 'https://meter.example/sweep.json' }]);

    const change = (settings: object) => levelkeep.send('manager', 'PATCH', at(probeId), { settings });
    expect(Object.keys(await fieldsOf(await change(modem().settings)))).toContain('settings.url');
    const { settings } = http(byHeader('X-Key'));
    await ok(await change({ ...settings, url: 'https://meter.example/other.json' }));
    // The secret would go out unencrypted.
    const open = await change({ ...settings, url: 'http://meter.example/sweep.json' });
    expect(await fieldsOf(open)).toMatchObject({ 'secrets.X-Key': expect.stringMatching(/give it again/) });
    await ok(await levelkeep.send('manager', 'DELETE', at(probeId)));
  });

  test('takes no secret that cannot be sent', async () => {
    const given = { ...http(byHeader('X-Key')), secrets: { 'X-Key': 'two\nlines' } };
    const answer = await levelkeep.send('manager', 'POST', at(), given);
    expect((await fieldsOf(answer))['secrets.X-Key']).toMatch(/cannot be sent/);
  });
});

describe('the fleet of probes', () => {
  const names = async (query: string) =>
    (await ok<ProbeFleet>(await levelkeep.send('viewer', 'GET', `/api/probes${query}`))).rows.map(
      ({ name }) => name,
    );

  async function runOf(name: string, result: Parameters<typeof finishRun>[2]) {
    const host = `198.51.100.${name.length}`;
    const probeId = await add({
      name,
      settings: { host, port: 2000 + name.length, access: { version: '2c' } },
    });
    const nowMs = Date.now();
    const [claimed] = await claimDue(levelkeep.db, { limit: 1, by: 'test', nowMs });
    expect(claimed!.probeId).toBe(probeId);
    await finishRun(levelkeep.db, claimed!, result, nowMs);
    return probeId;
  }

  test('is ranked worst first, counted, searched and narrowed', async () => {
    await runOf('sound one', { outcome: 'read', sweeps: 1, told: 'x' });
    const failing = await runOf('failing', {
      outcome: 'failed',
      code: 'instrument',
      message: 'no answer',
      action: 'look at it',
    });
    await add({ name: 'new', settings: { host: '203.0.113.1', access: { version: '2c' } } });
    const lateId = await add({
      name: 'late one',
      settings: { host: '203.0.113.2', access: { version: '2c' } },
    });
    const longAgo = new Date(Date.now() - 600_000);
    await levelkeep.db.updateTable('probe').set({ due_at: longAgo }).where('probe_id', '=', lateId).execute();
    const pausedId = await add({ name: 'paused one', enabled: false });
    expect(pausedId).toBeGreaterThan(0);

    expect(await names('')).toEqual(['failing', 'late one', 'new', 'sound one', 'paused one']);
    expect(await names('?search=alder 203.0.113')).toEqual(['late one', 'new']);
    expect(await names('?search=cellar%25')).toEqual([]);
    expect(await names('?standing=late')).toEqual(['late one']);
    const page = await ok<ProbeFleet>(await levelkeep.send('viewer', 'GET', '/api/probes?limit=1'));
    expect(page).toMatchObject({
      probes: 5,
      total: 5,
      counts: { failing: 1, late: 1, unread: 1, sound: 1, paused: 1 },
      rows: [
        {
          probeId: failing,
          site: 'Alder Court',
          point: 'Cellar',
          failures: 1,
          runs: 1,
          failed: 1,
          lastError: { code: 'instrument', message: 'no answer', action: 'look at it' },
        },
      ],
    });
  });

  test('shows the runs of one probe, newest first', async () => {
    const probe = (await probesOfSite()).find(({ name }) => name === 'failing')!;
    const { runs } = await ok<ProbeRuns>(await levelkeep.send('viewer', 'GET', at(probe.probeId, '/runs')));
    expect(runs).toMatchObject([
      { outcome: 'failed', askedBy: 'manager token', error: { message: 'no answer' } },
    ]);
    const before = await ok<ProbeRuns>(
      await levelkeep.send('viewer', 'GET', at(probe.probeId, `/runs?before=${runs[0]!.runId}`)),
    );
    expect(before.runs).toEqual([]);
    expect((await levelkeep.send('viewer', 'GET', at(999_999, '/runs'))).status).toBe(404);
  });

  test('forgets runs after their time, and nothing younger', async () => {
    const { db } = levelkeep;
    const all = () => db.selectFrom('probe_run').select('run_id').execute();
    const [first, ...others] = await all();
    const old = new Date(Date.now() - 31 * DAY_MS);
    await db.updateTable('probe_run').set({ ended_at: old }).where('run_id', '=', first!.run_id).execute();
    expect(await pruneRuns(db, Date.now() - 30 * DAY_MS, new AbortController().signal)).toBe(1);
    expect(await all()).toEqual(others);
  });
});
