import { beforeAll, describe, expect, test } from 'vitest';
import { fieldsOf, ok } from '../../support/answers.ts';
import { withApp } from '../../support/testApp.ts';

const levelkeep = withApp();

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
