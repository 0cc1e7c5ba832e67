import { beforeAll, describe, expect, test } from 'vitest';
import { fieldsOf, ok } from '../../support/answers.ts';
import { withApp } from '../../support/testApp.ts';

const levelkeep = withApp();

const post = (path: string, body: unknown) => levelkeep.send('manager', 'POST', path, body);
const get = async <T>(path: string) => ok<T>(await levelkeep.send('viewer', 'GET', path));

let siteId = 0;
let pointId = 0;

async function arrivals() {
  const rows = await levelkeep.db.selectFrom('arrival').selectAll().execute();
  await levelkeep.db.deleteFrom('arrival').execute();
  return rows.map(({ point_id, first_at }) => ({ pointId: point_id, from: first_at.toISOString() }));
}

beforeAll(async () => {
  const site = { name: 'Harbour House', timeZone: 'America/Chicago', outlets: 120 };
  siteId = (await ok<{ site: { siteId: number } }>(await post('/api/sites', site))).site.siteId;
  const point = await post(`/api/sites/${siteId}/points`, { name: 'handoff', kind: 'handoff' });
  pointId = (await ok<{ pointId: number }>(point)).pointId;
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
