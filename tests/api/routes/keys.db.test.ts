import { beforeAll, describe, expect, test } from 'vitest';
import { ok } from '../../support/answers.ts';
import { withApp } from '../../support/testApp.ts';

const levelkeep = withApp();

const post = (path: string, body: unknown) => levelkeep.send('manager', 'POST', path, body);
const get = async <T>(path: string) => ok<T>(await levelkeep.send('viewer', 'GET', path));

let siteId = 0;
let pointId = 0;

beforeAll(async () => {
  const site = { name: 'Harbour House', timeZone: 'America/Chicago', outlets: 120 };
  siteId = (await ok<{ site: { siteId: number } }>(await post('/api/sites', site))).site.siteId;
  const point = await post(`/api/sites/${siteId}/points`, { name: 'handoff', kind: 'handoff' });
  pointId = (await ok<{ pointId: number }>(point)).pointId;
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
