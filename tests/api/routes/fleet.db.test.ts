import { beforeAll, describe, expect, test } from 'vitest';
import { type FleetPage, FleetPageSchema } from '../../../api/schemas/fleet.ts';
import type { Db } from '../../../ingest/store/database.ts';
import { givenSite } from '../../support/givenSite.ts';
import { withDatabase } from '../../support/withDatabase.ts';
import { json, readApp } from './readApp.ts';

const database = withDatabase();
const NOW = Date.parse('2026-11-12T20:00:00Z');

const get = async (query = '') => {
  const page = await json<FleetPage>(readApp(database, NOW).request(`/api/fleet${query}`));
  FleetPageSchema.parse(page);
  return page;
};
const names = (page: FleetPage) => page.rows.map(({ name }) => name);

beforeAll(async () => {
  const { db } = database;
  const { provider_id } = await db
    .insertInto('provider')
    .values({ name: 'Harbour Cable' })
    .returning('provider_id')
    .executeTakeFirstOrThrow();
  await givenRank(db, await givenSite(db, { name: 'Alder Court', town: 'Northby', outlets: 40 }), 3, 'watch');
  await givenRank(
    db,
    await givenSite(db, { name: 'Birch 100% Tower', town: 'Southby', provider_id }),
    90,
    'act',
  );
  await givenRank(
    db,
    await givenSite(db, { name: 'Cedar_House', town: 'Northby', provider_id }),
    0.01,
    'steady',
  );
  await givenSite(db, { name: 'Dogwood Hall', town: 'Eastby' });
});

async function givenRank(db: Db, siteId: number, outletDays: number, verdict: 'act' | 'watch' | 'steady') {
  await db
    .insertInto('site_risk')
    .values({
      site_id: siteId,
      outlet_days: outletDays,
      sentence: `Ranks at ${outletDays}.`,
      verdict,
      side: verdict === 'steady' ? null : 'building',
      since: null,
      days_to_limit: null,
      last_sweep_at: new Date(NOW),
      strip: [-32768, ...new Array<number>(47).fill(-270), 2, 1, ...new Array<number>(46).fill(0)],
      computed_at: new Date(NOW),
    })
    .execute();
}

describe('GET /api/fleet', () => {
  test('ranks by expected outlet-days, with sites nobody assessed yet last', async () => {
    const page = await get();
    expect(names(page)).toEqual(['Birch 100% Tower', 'Alder Court', 'Cedar_House', 'Dogwood Hall']);
    expect(page.rows.map(({ rank }) => rank)).toEqual([1, 2, 3, 4]);
    expect(page).toMatchObject({ total: 4, sites: 4, stripLowMhz: 54, stripHighMhz: 1002 });
    expect(page.counts).toEqual({ act: 1, watch: 1, steady: 1, silent: 0, 'no-baseline': 1 });
  });

  test('gives each row its sentence and strip in dB', async () => {
    const [first, , , last] = (await get()).rows;
    expect(first).toMatchObject({
      provider: 'Harbour Cable',
      sentence: 'Ranks at 90.',
      outletDays: 90,
      lastSweepAt: '2026-11-12T20:00:00.000Z',
    });
    expect(first?.strip).toHaveLength(48);
    expect(first?.strip.slice(0, 2)).toEqual([null, -2.7]);
    expect(first).toMatchObject({ stripChanged: [1], stripLost: [0] });
    expect(last).toMatchObject({ verdict: 'no-baseline', sentence: 'Newly added: not assessed yet.' });
    expect(last?.strip).toEqual(new Array(48).fill(null));
  });

  test('finds words in any order in site, town and provider, and keeps the rank in the whole fleet', async () => {
    const page = await get('?search=harbour northby');
    expect(page.rows.map(({ name, rank }) => [name, rank])).toEqual([['Cedar_House', 3]]);
    expect(page).toMatchObject({ total: 1, sites: 4 });
    expect(page.counts).toEqual({ act: 0, watch: 0, steady: 1, silent: 0, 'no-baseline': 0 });
  });

  test.each([
    ['%25', ['Birch 100% Tower']],
    ['_', ['Cedar_House']],
    ['%5C', []],
    ["'", []],
  ])('takes wildcards and quotes in a search (%s) for what they are', async (search, found) => {
    expect(names(await get(`?search=${search}`))).toEqual(found);
  });

  test('shows one verdict, while the counts go on telling of all', async () => {
    const page = await get('?verdict=act');
    expect(names(page)).toEqual(['Birch 100% Tower']);
    expect(page.total).toBe(1);
    expect(page.counts.watch).toBe(1);
  });

  test('comes in slices', async () => {
    expect(names(await get('?limit=2&offset=1'))).toEqual(['Alder Court', 'Cedar_House']);
    expect(await get('?offset=50')).toMatchObject({ rows: [], total: 4, sites: 4 });
  });

  test('names the field of a query that it cannot use', async () => {
    const answer = await readApp(database, NOW).request('/api/fleet?limit=9000');
    expect(answer.status).toBe(422);
    expect(await answer.json()).toMatchObject({
      error: { code: 'invalid-input', fields: { limit: expect.any(String) } },
    });
  });

  test('answers 401 to nobody', async () => {
    expect((await readApp(database, NOW, null).request('/api/fleet')).status).toBe(401);
  });
});
