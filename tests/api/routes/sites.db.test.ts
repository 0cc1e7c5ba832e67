import { beforeAll, describe, expect, test } from 'vitest';
import { fieldsOf, ok } from '../../support/answers.ts';
import { withApp } from '../../support/testApp.ts';

const levelkeep = withApp();

const post = (path: string, body: unknown) => levelkeep.send('manager', 'POST', path, body);
const patch = (path: string, body: unknown) => levelkeep.send('manager', 'PATCH', path, body);
const get = async <T>(path: string) => ok<T>(await levelkeep.send('viewer', 'GET', path));

interface SetupView {
  site: { siteId: number; planId: number | null; providerId: number | null; createdAt: string };
  points: { pointId: number; name: string; fedBy: number | null }[];
}
interface Plan {
  planId: number;
  versions: { version: number; inForce: boolean; effectiveFrom: string; channels: unknown[] }[];
}

const building = { name: 'Harbour House', timeZone: 'America/Chicago', outlets: 120 };
let siteId = 0;
let handoffId = 0;

async function addPoint(body: Record<string, unknown>): Promise<number> {
  return (await ok<{ pointId: number }>(await post(`/api/sites/${siteId}/points`, body))).pointId;
}

/** Points that the engine has been told to look at again, and from when. */
async function arrivals() {
  const rows = await levelkeep.db
    .selectFrom('arrival')
    .select(['point_id', 'first_at'])
    .where('site_id', '=', siteId)
    .orderBy('arrival_id')
    .execute();
  await levelkeep.db.deleteFrom('arrival').where('site_id', '=', siteId).execute();
  return rows.map(({ point_id, first_at }) => ({ pointId: point_id, from: first_at.toISOString() }));
}

beforeAll(async () => {
  siteId = (await ok<SetupView>(await post('/api/sites', building))).site.siteId;
  handoffId = await addPoint({ name: 'handoff', kind: 'handoff' });
});

describe('providers', () => {
  test('are added, changed, counted and removed', async () => {
    const added = await ok<{ providerId: number }>(await post('/api/providers', { name: 'North Feed' }));
    await ok(await patch(`/api/providers/${added.providerId}`, { contact: 'desk@north.example' }));
    await ok(await patch(`/api/sites/${siteId}`, { providerId: added.providerId }));
    const { providers } = await get<{ providers: unknown[] }>('/api/providers');
    expect(providers).toEqual([
      { providerId: added.providerId, name: 'North Feed', contact: 'desk@north.example', sites: 1 },
    ]);

    expect(await fieldsOf(await post('/api/providers', { name: 'North Feed' }))).toHaveProperty('name');
    const inUse = await levelkeep.send('manager', 'DELETE', `/api/providers/${added.providerId}`);
    expect(inUse.status).toBe(409);
    await ok(await patch(`/api/sites/${siteId}`, { providerId: null }));
    await ok(await levelkeep.send('manager', 'DELETE', `/api/providers/${added.providerId}`));
    expect((await patch(`/api/providers/${added.providerId}`, { name: 'x' })).status).toBe(404);
  });
});

describe('sites', () => {
  test('refuse zones, places, providers and plans that do not exist, each by its field', async () => {
    const fields = await fieldsOf(await post('/api/sites', { ...building, timeZone: 'CST6', latitude: 91 }));
    expect(Object.keys(fields).sort()).toEqual(['latitude', 'timeZone']);
    const shared = { ...building, providerId: 999999, planId: 999999 };
    expect(Object.keys(await fieldsOf(await post('/api/sites', shared))).sort()).toEqual([
      'planId',
      'providerId',
    ]);
  });

  test('are found by words in name, town or address, taken literally', async () => {
    await ok(await post('/api/sites', { ...building, name: '100% Plaza', town: 'Eastwick' }));
    const found = async (search: string) =>
      (await get<{ sites: { name: string }[] }>(`/api/sites?search=${encodeURIComponent(search)}`)).sites.map(
        ({ name }) => name,
      );
    expect(await found('')).toEqual(['100% Plaza', 'Harbour House']);
    expect(await found('plaza east')).toEqual(['100% Plaza']);
    expect(await found('100%')).toEqual(['100% Plaza']);
    expect(await found('%')).toEqual(['100% Plaza']);
    expect(await found('_')).toEqual([]);
  });

  test('appear in the ranked fleet as soon as they are added', async () => {
    const fleet = await get<{ rows: { name: string }[] }>('/api/fleet');
    expect(fleet.rows.map(({ name }) => name)).toContain('Harbour House');
  });

  test('of another plan are judged again from the start', async () => {
    const plan = { name: 'For a site', raster: 'STD', effectiveFrom: '2025-01-01T00:00:00Z' };
    const { channels } = await get<{ channels: unknown[] }>(
      '/api/plan-proposals?raster=STD&lowMhz=54&highMhz=88',
    );
    const { planId } = await ok<Plan>(await post('/api/plans', { ...plan, channels }));
    await arrivals();
    await ok(await patch(`/api/sites/${siteId}`, { planId }));
    expect(await arrivals()).toEqual([{ pointId: handoffId, from: '1970-01-01T00:00:00.000Z' }]);
    await ok(await patch(`/api/sites/${siteId}`, { planId, contact: 'front desk' }));
    expect(await arrivals()).toEqual([]);
    await ok(await patch(`/api/sites/${siteId}`, { planId: null }));
  });
});

describe('points', () => {
  test('form a tree from the handoff down; what would break it is refused by field', async () => {
    const gear = await addPoint({ name: 'gear in', kind: 'gear-input', fedBy: handoffId });
    const riser = await addPoint({ name: 'riser', kind: 'amplifier', fedBy: gear });
    const view = await get<SetupView>(`/api/sites/${siteId}/setup`);
    expect(view.points.map(({ name }) => name)).toEqual(['handoff', 'gear in', 'riser']);

    const points = `/api/sites/${siteId}/points`;
    expect(await fieldsOf(await post(points, { name: 'x', kind: 'handoff' }))).toHaveProperty('kind');
    expect(await fieldsOf(await patch(`${points}/${gear}`, { fedBy: riser }))).toHaveProperty('fedBy');
    expect(await fieldsOf(await post(points, { name: 'riser', kind: 'outlet', fedBy: gear }))).toHaveProperty(
      'name',
    );
    expect((await levelkeep.send('manager', 'DELETE', `${points}/${gear}`)).status).toBe(409);
    await ok(await levelkeep.send('manager', 'DELETE', `${points}/${riser}`));
    await ok(await levelkeep.send('manager', 'DELETE', `${points}/${gear}`));
  });

  test('cannot be fed from another site', async () => {
    const other = await ok<SetupView>(await post('/api/sites', { ...building, name: 'Other House' }));
    const path = `/api/sites/${other.site.siteId}/points`;
    await ok(await post(path, { name: 'handoff', kind: 'handoff' }));
    const foreign = await post(path, { name: 'outlet', kind: 'outlet', fedBy: handoffId });
    expect(await fieldsOf(foreign)).toHaveProperty('fedBy');
  });

  test('two handoffs sent at once become one', async () => {
    const { site } = await ok<SetupView>(await post('/api/sites', { ...building, name: 'Twin House' }));
    const add = (name: string) => post(`/api/sites/${site.siteId}/points`, { name, kind: 'handoff' });
    const answers = await Promise.all([add('a'), add('b')]);
    expect(answers.map(({ status }) => status).sort()).toEqual([201, 422]);
  });

  test('whose gear corrects itself say within which window', async () => {
    const body = { name: 'agc', kind: 'gear-output', fedBy: handoffId, correctsItself: true };
    expect(await fieldsOf(await post(`/api/sites/${siteId}/points`, body))).toHaveProperty(
      'correctionWindowDb',
    );
  });

  test('of another kind are judged again; a new label changes nothing', async () => {
    const pointId = await addPoint({ name: 'flat 12', kind: 'outlet', fedBy: handoffId });
    await arrivals();
    await ok(await patch(`/api/sites/${siteId}/points/${pointId}`, { label: 'Flat 12, living room' }));
    expect(await arrivals()).toEqual([]);
    await ok(await patch(`/api/sites/${siteId}/points/${pointId}`, { kind: 'splitter' }));
    expect(await arrivals()).toEqual([{ pointId, from: '1970-01-01T00:00:00.000Z' }]);
  });
});
