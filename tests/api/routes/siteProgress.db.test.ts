import { beforeAll, describe, expect, test } from 'vitest';
import type { FoundPlan } from '../../../api/schemas/foundPlan.ts';
import type { AgentConfigView } from '../../../api/schemas/readingWays.ts';
import type { SiteProgress } from '../../../api/schemas/siteProgress.ts';
import type { SiteSetupView } from '../../../api/schemas/siteSetup.ts';
import { ok } from '../../support/answers.ts';
import { ORIGIN, withApp } from '../../support/testApp.ts';

const levelkeep = withApp();
const post = (path: string, body: unknown) => levelkeep.send('manager', 'POST', path, body);
const read = async <T>(path: string) => ok<T>(await levelkeep.send('viewer', 'GET', path));
const FREQ = [57, 63, 69, 79, 85, 177, 183, 189];
let siteId = 0;
let points: SiteSetupView['points'] = [];
let key = '';

const progress = () => read<SiteProgress>(`/api/sites/${siteId}/progress`);
async function missing(): Promise<Record<string, string[]>> {
  const { steps } = await progress();
  return Object.fromEntries(steps.filter(({ done }) => !done).map((step) => [step.step, step.missing]));
}

async function sendSweep(point: string, minute: number, lost: number[] = []): Promise<void> {
  const sweep = {
    point,
    at: `2026-03-01T12:${String(minute).padStart(2, '0')}:00Z`,
    instrument: 'probe-7',
    freq_mhz: [...FREQ, 200.3],
    level_dbmv: [...FREQ, 200.3].map((_, i) => 20 - i * 0.1),
    mer_db: [...FREQ, 200.3].map(() => 39),
    ...(lost.length > 0 && { lost }),
  };
  const answer = await levelkeep.app.request(`${ORIGIN}/ingest/sweeps`, {
    method: 'POST',
    headers: { authorization: `Bearer ${key}`, 'content-type': 'application/json' },
    body: JSON.stringify({ sweeps: [sweep] }),
  });
  expect(await answer.json()).toMatchObject({ accepted: 1 });
}

beforeAll(async () => {
  const site = { name: 'Harbour House', timeZone: 'America/Chicago', outlets: 120 };
  siteId = (await ok<SiteSetupView>(await post('/api/sites', site))).site.siteId;
});

describe('a site on its way', () => {
  test('lacks everything at first, each step in its own words', async () => {
    expect(await missing()).toEqual({
      plan: [
        'The provider who hands the feed over.',
        'The channel plan: choose one, or have it found from a first sweep.',
      ],
      points: ['The handoff, where the provider’s feed comes in.'],
      ways: ['How the readings come: add points first.'],
      key: ['A site key for what sends the sweeps.'],
      readings: ['The first readings.'],
      baseline: ['An accepted baseline.'],
      turnover: [],
    });
  });

  test('gets several points at once, or none of them', async () => {
    const broken = [
      { name: 'handoff', kind: 'handoff' },
      { name: 'amp', kind: 'amplifier', fedBy: 'nowhere' },
    ];
    const refused = await post(`/api/sites/${siteId}/point-tree`, { points: broken });
    expect(refused.status).toBe(422);
    expect(await refused.json()).toMatchObject({
      error: { fields: { 'points.1.fedBy': expect.any(String) } },
    });
    expect((await progress()).points).toEqual([]);

    broken[1]!.fedBy = 'handoff';
    points = (await ok<SiteSetupView>(await post(`/api/sites/${siteId}/point-tree`, { points: broken })))
      .points;
    expect(points.map(({ name, fedBy }) => [name, fedBy])).toEqual([
      ['handoff', null],
      ['amp', points[0]!.pointId],
    ]);
    const again = await post(`/api/sites/${siteId}/point-tree`, {
      points: [{ name: 'amp', kind: 'outlet' }],
    });
    expect(await again.json()).toMatchObject({ error: { fields: { 'points.0.name': expect.any(String) } } });
  });

  test('keeps how the readings of each point come, and makes the agent’s config of it', async () => {
    const way = (point: number) => `/api/sites/${siteId}/points/${points[point]!.pointId}/reading-way`;
    const modem = { way: 'agent-modem', host: '192.0.2.10' };
    await ok(await levelkeep.send('technician', 'PUT', way(0), modem));
    expect((await levelkeep.send('technician', 'PUT', way(0), { way: 'agent-modem', host: '' })).status).toBe(
      422,
    );
    await ok(await levelkeep.send('technician', 'PUT', way(1), { way: 'typed' }));
    expect(Object.keys(await missing())).not.toContain('ways');
    const config = await read<AgentConfigView>(`/api/sites/${siteId}/agent-config`);
    expect(JSON.parse(config.text!)).toMatchObject({
      zone: 'America/Chicago',
      server: { url: ORIGIN, keyFile: 'site.key' },
      probes: [{ point: 'handoff', every: '15m', driver: 'modem', host: '192.0.2.10' }],
    });
  });

  test('finds no plan before a sweep, and says what to do', async () => {
    const path = `/api/sites/${siteId}/points/${points[0]!.pointId}/found-plan`;
    const answer = await levelkeep.send('viewer', 'GET', path);
    expect(answer.status).toBe(422);
    expect(await answer.json()).toMatchObject({ error: { code: 'no-sweep-yet' } });
  });

  test('hears its first sweeps at once, and finds the plan that they speak for', async () => {
    key = (await ok<{ key: string }>(await post(`/api/sites/${siteId}/keys`, { label: 'box' }))).key;
    for (const minute of [0, 1, 2]) await sendSweep('handoff', minute, [195]);
    const { points: heard } = await progress();
    expect(heard[0]).toMatchObject({
      sweeps: 3,
      heard: { at: '2026-03-01T12:02:00.000Z', found: 9, lost: 1, outsidePlan: null, instrument: 'probe-7' },
    });
    expect((await missing())['readings']).toEqual(['A first sweep from amp.']);

    const found = await read<FoundPlan>(`/api/sites/${siteId}/points/${points[0]!.pointId}/found-plan`);
    expect(found).toMatchObject({
      raster: 'STD',
      carriers: 9,
      matched: 8,
      outsideMhz: [200.3],
      firstAt: '2026-03-01T12:00:00.000Z',
      known: [],
    });
    expect(found.missing.map(({ channel, how }) => [channel, how])).toEqual([['10', 'lost']]);
    const plan = {
      name: 'Found at the harbour',
      raster: found.raster,
      effectiveFrom: found.firstAt,
      channels: found.channels,
    };
    const made = await ok<{ planId: number }>(await post('/api/plans', plan));
    const provider = await ok<{ providerId: number }>(await post('/api/providers', { name: 'Bayline' }));
    await ok(
      await levelkeep.send('manager', 'PATCH', `/api/sites/${siteId}`, {
        planId: made.planId,
        providerId: provider.providerId,
      }),
    );
    expect((await progress()).points[0]!.heard).toMatchObject({ outsidePlan: 1 });
    const again = await read<FoundPlan>(`/api/sites/${siteId}/points/${points[0]!.pointId}/found-plan`);
    expect(again.known).toEqual([{ planId: made.planId, name: plan.name, found: 8, notFound: [] }]);
  });

  test('is ready for its turnover once every point has its baseline', async () => {
    for (const minute of [0, 1, 2]) await sendSweep('amp', minute);
    for (const { pointId } of points) {
      const body = {
        from: '2026-03-01T12:00:00Z',
        to: '2026-03-01T12:02:00Z',
        exceptionNote: 'no limits were agreed for this feed',
      };
      await ok(await post(`/api/sites/${siteId}/points/${pointId}/baselines`, body));
    }
    expect(await missing()).toEqual({});
    expect((await progress()).points[0]!.baseline).toMatchObject({ version: 1, acceptedBy: 'manager token' });
  });

  test('can lose a point that had its way decided but never a sweep', async () => {
    const { pointId } = await ok<{ pointId: number }>(
      await post(`/api/sites/${siteId}/points`, { name: 'attic', kind: 'outlet', fedBy: points[0]!.pointId }),
    );
    const path = `/api/sites/${siteId}/points/${pointId}`;
    await ok(await levelkeep.send('technician', 'PUT', `${path}/reading-way`, { way: 'script' }));
    await ok(await levelkeep.send('manager', 'DELETE', path));
    expect((await progress()).points).toHaveLength(2);
  });
});
