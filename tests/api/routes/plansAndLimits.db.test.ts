import { beforeAll, describe, expect, test } from 'vitest';
import { withApp } from '../../support/testApp.ts';

const levelkeep = withApp();

async function ok<T>(answer: Response): Promise<T> {
  const text = await answer.text();
  expect(answer.status, text).toBeLessThan(300);
  return (text === '' ? undefined : JSON.parse(text)) as T;
}
async function fieldsOf(answer: Response): Promise<Record<string, string>> {
  expect(answer.status).toBe(422);
  return ((await answer.json()) as { error: { fields: Record<string, string> } }).error.fields;
}
const post = (path: string, body: unknown) => levelkeep.send('manager', 'POST', path, body);
const get = async <T>(path: string) => ok<T>(await levelkeep.send('viewer', 'GET', path));

interface Plan {
  planId: number;
  sites: number;
  versions: { version: number; inForce: boolean; note: string; channels: { channel: string }[] }[];
}

const news = { number: '7.1', name: 'Harbour News' };
const channels = [
  {
    channel: '78',
    centreMhz: 549,
    widthMhz: 6,
    modulation: 'qam256',
    services: [news, { number: '702', name: 'Film' }],
  },
  {
    channel: '79',
    centreMhz: 555,
    widthMhz: 6,
    modulation: 'qam256',
    services: [{ number: '78', name: 'Sport' }],
  },
];
let siteId = 0;
let pointId = 0;
let plan: Plan;

async function arrivals() {
  const rows = await levelkeep.db.selectFrom('arrival').selectAll().execute();
  await levelkeep.db.deleteFrom('arrival').execute();
  return rows.map(({ point_id, first_at }) => ({ pointId: point_id, from: first_at.toISOString() }));
}

beforeAll(async () => {
  const effectiveFrom = '2025-01-01T00:00:00Z';
  plan = await ok<Plan>(await post('/api/plans', { name: 'North', raster: 'STD', effectiveFrom, channels }));
  const site = { name: 'Harbour House', timeZone: 'America/Chicago', outlets: 120, planId: plan.planId };
  siteId = (await ok<{ site: { siteId: number } }>(await post('/api/sites', site))).site.siteId;
  const point = await post(`/api/sites/${siteId}/points`, { name: 'handoff', kind: 'handoff' });
  pointId = (await ok<{ pointId: number }>(point)).pointId;
});

describe('channel plans', () => {
  test('are proposed from a raster', async () => {
    const query = 'raster=STD&modulation=qam64&lowMhz=54&highMhz=72';
    const proposal = await get<{ channels: unknown[] }>(`/api/plan-proposals?${query}`);
    expect(proposal.channels).toEqual(
      [
        ['2', 57],
        ['3', 63],
        ['4', 69],
      ].map(([channel, centreMhz]) => ({
        channel,
        centreMhz,
        widthMhz: 6,
        modulation: 'qam64',
        services: [],
      })),
    );
  });

  test('take a new version from its date on: older ones stay, and sites are judged again from there', async () => {
    await arrivals();
    const version = {
      effectiveFrom: '2099-06-01T00:00:00Z',
      note: 'summer line-up',
      channels: channels.slice(0, 1),
    };
    const changed = await ok<Plan>(await post(`/api/plans/${plan.planId}/versions`, version));
    expect(changed.versions.map(({ version, inForce }) => ({ version, inForce }))).toEqual([
      { version: 2, inForce: false },
      { version: 1, inForce: true },
    ]);
    expect(changed.versions[1]!.channels).toHaveLength(2);
    expect(changed.sites).toBe(1);
    expect(await arrivals()).toEqual([{ pointId, from: '2099-06-01T00:00:00.000Z' }]);

    expect(await fieldsOf(await post(`/api/plans/${plan.planId}/versions`, version))).toHaveProperty(
      'effectiveFrom',
    );
  });

  test('take back a version still to come, and none that has taken effect', async () => {
    const remove = (version: number) =>
      levelkeep.send('manager', 'DELETE', `/api/plans/${plan.planId}/versions/${version}`);
    expect((await remove(2)).status).toBe(204);
    expect((await remove(1)).status).toBe(409);
    expect((await remove(2)).status).toBe(404);
    const kept = await get<Plan>(`/api/plans/${plan.planId}`);
    expect(kept.versions.map(({ version }) => version)).toEqual([1]);
  });

  test('refuse channels that overlap or repeat, by their place in the list', async () => {
    const overlapping = [channels[0], { ...channels[1], channel: '79x', centreMhz: 551 }];
    const body = { name: 'Bad', raster: 'own', effectiveFrom: '2025-01-01T00:00:00Z', channels: overlapping };
    expect(await fieldsOf(await post('/api/plans', body))).toHaveProperty(['channels.1.centreMhz']);
    const unit = [{ ...channels[0], centreMhz: 549_000 }];
    expect(await fieldsOf(await post('/api/plans', { ...body, channels: unit }))).toHaveProperty([
      'channels.0.centreMhz',
    ]);
  });
});

describe('services', () => {
  const found = async (search: string) =>
    (
      await get<{ hits: { channel: string }[] }>(`/api/services?search=${encodeURIComponent(search)}`)
    ).hits.map(({ channel }) => channel);

  test('are found by the number that viewers dial, which is not the RF channel', async () => {
    expect(await found('7.1')).toEqual(['78']);
    expect(await found('702')).toEqual(['78']);
  });

  test('are found by name and by RF channel; a number that is both finds both', async () => {
    expect(await found('harbour')).toEqual(['78']);
    expect(await found('79')).toEqual(['79']);
    expect(await found('78')).toEqual(['79', '78']);
    expect(await found('nothing')).toEqual([]);
  });
});

describe('limits', () => {
  interface SiteLimits {
    points: {
      scope: string;
      why: string;
      set: { id: string; limits: { quantity: string; source: string }[] };
    }[];
    choices: { reason: string; chosenBy: string }[];
  }

  test('are listed with the source of each', async () => {
    const { sets } = await get<{ sets: { limits: { source: string }[] }[] }>('/api/limits');
    expect(sets.length).toBeGreaterThanOrEqual(5);
    for (const { limits } of sets) for (const { source } of limits) expect(source).not.toBe('');
  });

  test('come from the kind of point until somebody chooses, and say so', async () => {
    const limits = await get<SiteLimits>(`/api/sites/${siteId}/limits`);
    expect(limits.points[0]).toMatchObject({ scope: 'default', why: expect.stringContaining('handoff') });
  });

  test('chosen for the fleet, the site and the point win in that order; the history is kept', async () => {
    const changes = [{ quantity: 'tilt', min: -2, max: 2 }];
    const { sets } = await get<{ sets: { id: string }[] }>('/api/limits');
    const setId = sets.at(-1)!.id;
    const send = async (path: string, reason: string, scope: Record<string, unknown>) =>
      ok(await post(path, { ...scope, setId, changes, reason }));
    const unknown = { kind: 'handoff', setId: 'none', reason: 'why' };
    expect(await fieldsOf(await post('/api/limits/choices', unknown))).toHaveProperty('setId');

    const scopeNow = async () => (await get<SiteLimits>(`/api/sites/${siteId}/limits`)).points[0]!;
    await arrivals();
    await send('/api/limits/choices', 'contract of all sites', { kind: 'handoff' });
    expect(await scopeNow()).toMatchObject({ scope: 'fleet', set: { id: setId } });
    await send(`/api/sites/${siteId}/limits/choices`, 'contract of this site', { kind: 'handoff' });
    expect(await scopeNow()).toMatchObject({ scope: 'site' });
    await send(`/api/sites/${siteId}/limits/choices`, 'long lead-in', { pointId });
    const point = await scopeNow();
    expect(point).toMatchObject({
      scope: 'point',
      why: 'manager token chose it for this point: long lead-in',
    });
    expect(point.set.limits.find(({ quantity }) => quantity === 'tilt')!.source).toContain('long lead-in');
    expect(await arrivals()).toEqual(Array(3).fill({ pointId, from: '1970-01-01T00:00:00.000Z' }));

    const { choices } = await get<SiteLimits>(`/api/sites/${siteId}/limits`);
    expect(choices.map(({ reason }) => reason)).toEqual(['long lead-in', 'contract of this site']);
  });

  test('are not chosen without a reason, nor for both a kind and a point', async () => {
    const path = `/api/sites/${siteId}/limits/choices`;
    const { sets } = await get<{ sets: { id: string }[] }>('/api/limits');
    const setId = sets[0]!.id;
    expect(await fieldsOf(await post(path, { kind: 'outlet', setId, reason: ' ' }))).toHaveProperty('reason');
    const both = { kind: 'outlet', pointId, setId, reason: 'why' };
    expect(await fieldsOf(await post(path, both))).toHaveProperty('kind');
    const falling = {
      kind: 'outlet',
      setId,
      reason: 'why',
      changes: [{ quantity: 'level', min: 5, max: -5 }],
    };
    expect(await fieldsOf(await post(path, falling))).toHaveProperty(['changes.0']);
  });
});

describe('site keys', () => {
  test('are shown once, send sweeps for their site, show their last use, and stop when revoked', async () => {
    const keys = `/api/sites/${siteId}/keys`;
    const issued = await ok<{ keyId: number; key: string }>(
      await post(keys, { label: 'box in the riser cupboard' }),
    );
    const sweep = (at: string) =>
      levelkeep.app.request('/ingest/sweeps', {
        method: 'POST',
        headers: { authorization: `Bearer ${issued.key}`, 'content-type': 'application/json' },
        body: JSON.stringify({
          sweeps: [
            { point: 'handoff', at, instrument: 'probe-7', freq_mhz: [549, 555], level_dbmv: [20, 19] },
          ],
        }),
      });
    const at = new Date(Date.now() - 60_000).toISOString();
    expect(await ok(await sweep(at))).toMatchObject({ accepted: 1, rejected: [] });

    const listed = await get<{ keys: { keyId: number; lastUsedAt: string | null }[] }>(keys);
    expect(listed.keys).toMatchObject([
      { keyId: issued.keyId, lastUsedAt: expect.any(String), revokedAt: null },
    ]);
    expect(JSON.stringify(listed)).not.toContain(issued.key.slice(-20));

    await ok(await sweep('2999-01-01T00:00:00Z'));
    const { rejected } = await get<{ rejected: unknown[] }>(`/api/sites/${siteId}/rejected`);
    expect(rejected).toMatchObject([{ point: 'handoff', reason: expect.any(String) }]);

    await ok(await levelkeep.send('manager', 'DELETE', `${keys}/${issued.keyId}`));
    expect((await sweep(at)).status).toBe(403);
    const point = await levelkeep.send('manager', 'DELETE', `/api/sites/${siteId}/points/${pointId}`);
    expect(point.status).toBe(409);
  });
});
