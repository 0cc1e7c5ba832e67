import { beforeAll, expect, test } from 'vitest';
import { acceptBaseline } from '../../../api/baseline/acceptBaseline.ts';
import type { TypedDrafts, TypedForm, TypedSaved, TypedVerdict } from '../../../api/schemas/typedReadings.ts';
import { fieldsOf, ok } from '../../support/answers.ts';
import {
  aSweep,
  givenPlan,
  givenPoint,
  givenSite,
  givenSweeps,
  THIRTY_CHANNELS,
} from '../../support/givenSite.ts';
import { addTestPerson, cookieOf, ORIGIN, signIn, withApp } from '../../support/testApp.ts';

const app = withApp();
const DAY = 86_400_000;
const NOW = Date.parse('2026-10-12T20:30:00.000Z');
const THEN = NOW - 10 * DAY;
const iso = (ms: number) => new Date(ms).toISOString();
/** The levels that the point had when its baseline was accepted: a straight line. */
const levelAt = (freqMhz: number) => 12 - (freqMhz - 111) / 87;

let siteId: number;
let outlet: number;
let bare: number;
const at = (path: string, point = outlet) => `/api/sites/${siteId}/points/${point}/readings${path}`;

beforeAll(async () => {
  app.nowMs = NOW;
  const { db } = app;
  siteId = await givenSite(db, { name: 'Alder Court', plan_id: await givenPlan(db), outlets: 4 });
  const handoff = await givenPoint(db, siteId, { name: 'handoff', kind: 'handoff' });
  outlet = await givenPoint(db, siteId, { name: 'out-12', label: 'Room 12', fed_by: handoff });
  bare = await givenPoint(db, siteId, { name: 'out-13', fed_by: handoff });
  const then = [0, 15, 30].map((minute) => aSweep(THEN + minute * 60_000, { levelAt }));
  await givenSweeps(db, siteId, outlet, then);
  await acceptBaseline(
    db,
    { siteId, pointId: outlet, fromMs: THEN, toMs: THEN + DAY },
    { acceptedBy: 'Ada Field', acceptedAtMs: THEN, exceptionNote: 'made up' },
  );
});

type Changes = Readonly<Record<number, number | null>>;
/** Six channels as the baseline has them, off by `changes` dB by place; null leaves a field empty. */
function draftOf(changes: Changes = {}, over: object = {}) {
  return {
    instrument: 'meter-3',
    levelUnit: 'dBmV',
    ambientC: 21,
    readings: [0, 6, 12, 17, 23, 29].map((place, i) => {
      const freqMhz = THIRTY_CHANNELS[place]!.centreMhz;
      const change = i in changes ? changes[i]! : 0;
      return {
        freqMhz,
        level: change === null ? null : Math.round(10 * (levelAt(freqMhz) + change)) / 10,
        merDb: change === null ? null : 38,
        cnrDb: null,
        lost: false,
      };
    }),
    ...over,
  };
}
const put = async (draft: object, point = outlet) =>
  ok<TypedVerdict>(await app.send('technician', 'PUT', at('/draft', point), draft));
const save = (draft: object, ms = NOW) => app.send('technician', 'POST', at(''), { ...draft, at: iso(ms) });
const drafts = async (point = outlet) =>
  ok<TypedDrafts>(await app.send('viewer', 'GET', at('/drafts', point)));

test('the form proposes channels from bottom, middle and top, with what they were', async () => {
  const form = await ok<TypedForm>(await app.send('technician', 'GET', at('/form')));
  expect(form).toMatchObject({
    site: { name: 'Alder Court', timeZone: 'America/Chicago' },
    point: { name: 'out-12', label: 'Room 12' },
    proposedMhz: [111, 117, 195, 201, 279, 285],
    hasBaseline: true,
  });
  expect(form.channels).toHaveLength(30);
  expect(form.channels[0]).toEqual({
    channel: '1',
    freqMhz: 111,
    modulation: 'qam256',
    thenLevelDbmv: 12,
    thenMerDb: 38,
  });
});

test('a point without a baseline gets planned channels too', async () => {
  const form = await ok<TypedForm>(await app.send('technician', 'GET', at('/form', bare)));
  expect(form.hasBaseline).toBe(false);
  expect(form.proposedMhz).toEqual([111, 117, 195, 201, 279, 285]);
  expect(form.channels[0]).toMatchObject({ thenLevelDbmv: null });
});

test('figures that agree with the baseline are good in level, tilt and MER', async () => {
  expect(await put(draftOf())).toMatchObject({
    level: {
      verdict: 'good',
      value: '0.0 dB',
      sentence: 'inside limits; as in the baseline as the median of the channels',
    },
    tilt: { verdict: 'good', value: '−2.0 dB', sentence: expect.stringContaining('from 111 to 285 MHz') },
    mer: { verdict: 'good', sentence: expect.stringContaining('as in the baseline') },
    readings: Array.from({ length: 6 }, () => ({ verdict: 'good', hint: '' })),
  });
});

test('the same in dBµV and in dBm at 75 Ω are the same', async () => {
  const { readings } = draftOf({ 0: -3, 1: -3, 2: -3, 3: -3, 4: -3, 5: -3 });
  const verdict = await put(draftOf({ 0: -3, 1: -3, 2: -3, 3: -3, 4: -3, 5: -3 }));
  expect(verdict.level).toEqual({
    verdict: 'changed',
    value: '−3.0 dB',
    sentence: 'inside limits; 3.0 dB below the baseline as the median of the channels',
  });
  for (const [levelUnit, offset] of [
    ['dBuV', 60],
    ['dBm', -48.75],
  ] as const) {
    const shifted = readings.map((reading) => ({ ...reading, level: reading.level! + offset }));
    expect((await put({ ...draftOf(), levelUnit, readings: shifted })).level).toEqual(verdict.level);
  }
});

test('a wrong digit is pointed at in its own row, and the other rows stay good', async () => {
  const { readings, tilt, level } = await put(draftOf({ 2: -9 }));
  expect(level).toMatchObject({
    verdict: 'changed',
    sentence: expect.stringContaining('1 channel far from the others'),
  });
  expect(readings[2]).toMatchObject({
    verdict: 'changed',
    hint: expect.stringContaining('look at the digits'),
  });
  expect(readings.filter(({ hint }) => hint === '')).toHaveLength(5);
  expect(tilt.verdict).toBe('good');
});

test('a tilt that changed is told as such', async () => {
  const { tilt } = await put(draftOf({ 1: -1, 2: -2, 3: -3, 4: -4, 5: -5 }));
  expect(tilt).toMatchObject({
    verdict: 'changed',
    sentence: expect.stringContaining('dB below the baseline over the whole band'),
  });
});

test('levels outside their limits are told with the limit', async () => {
  const { level, readings } = await put(draftOf({ 0: 30 }));
  expect(level).toMatchObject({
    verdict: 'outside',
    sentence: expect.stringContaining('1 channel outside limits'),
  });
  expect(readings[0]!.verdict).not.toBe('good');
});

test('what no meter shows is doubted at once', async () => {
  const { readings } = await put(draftOf({ 0: 300 }));
  expect(readings[0]!.hint).toBe('no meter shows such a level: look at the digits, and at the unit');
});

test('an empty form says what to type', async () => {
  const nothing = Object.fromEntries([0, 1, 2, 3, 4, 5].map((place) => [place, null]));
  const verdict = await put(draftOf(nothing));
  for (const part of [verdict.level, verdict.tilt, verdict.mer]) {
    expect(part).toMatchObject({ verdict: 'unknown', value: '–' });
  }
});

test('two channels are too few for a tilt', async () => {
  const { tilt } = await put(draftOf({ 1: null, 2: null, 3: null, 4: null }));
  expect(tilt.sentence).toBe('needs three levels, at the bottom, the middle and the top of the band');
});

test('without a baseline, limits are all there is', async () => {
  const { level } = await put(draftOf(), bare);
  expect(level).toMatchObject({ value: '6 of 6', sentence: 'inside limits; no baseline to compare with' });
});

test('a helper sees the figures as they stand, who types them and what they say', async () => {
  await put(draftOf({ 5: null }));
  expect((await drafts()).drafts).toMatchObject([
    {
      name: 'technician token',
      updatedAt: iso(NOW),
      savedAt: null,
      draft: { instrument: 'meter-3', readings: { length: 6 } },
      channels: ['1', '7', '13', '18', '24', '30'],
      verdict: { level: { verdict: 'good' } },
    },
  ]);
});

test('two people at one point have a draft each', async () => {
  await addTestPerson(app, 'sam@example.test', 'technician');
  const cookie = cookieOf(await signIn(app, 'sam@example.test'));
  await put(draftOf());
  await ok(
    await app.app.request(ORIGIN + at('/draft'), {
      method: 'PUT',
      headers: { cookie, origin: ORIGIN, 'content-type': 'application/json' },
      body: JSON.stringify(draftOf({ 0: -1 }, { instrument: 'meter-8' })),
    }),
  );
  const seen = (await drafts()).drafts.map(({ name, draft }) => [name, draft.instrument]);
  expect(seen.toSorted()).toEqual([
    ['sam', 'meter-8'],
    ['technician token', 'meter-3'],
  ]);
});

test('saved readings are a sweep of a typed instrument, and the draft says so', async () => {
  await put(draftOf());
  expect(await ok<TypedSaved>(await save(draftOf()))).toEqual({
    at: iso(NOW),
    instrument: 'typed: meter-3',
    known: false,
  });
  const { rows } = await app.pool.query(
    `select at, level_cdbmv, mer_cdb, ambient_cc, freq_hz from sweep join grid using (site_id, grid_id)
     where sweep.site_id = $1 and instrument = 'typed: meter-3'`,
    [siteId],
  );
  expect(rows).toEqual([
    {
      at: new Date(NOW),
      level_cdbmv: [1200, 1160, 1120, 1080, 1040, 1000],
      mer_cdb: [3800, 3800, 3800, 3800, 3800, 3800],
      ambient_cc: 2100,
      freq_hz: [111, 147, 183, 213, 249, 285].map((mhz) => mhz * 1e6),
    },
  ]);
  const arrivals = await app.pool.query('select 1 from arrival where site_id = $1 and point_id = $2', [
    siteId,
    outlet,
  ]);
  expect(arrivals.rowCount).toBeGreaterThan(0);
  expect((await drafts()).drafts.find(({ name }) => name === 'technician token')?.savedAt).toBe(iso(NOW));
  const form = await ok<TypedForm>(await app.send('technician', 'GET', at('/form')));
  expect(form.instruments).toEqual(['meter-3']);
});

test('saving again after a lost answer stores nothing twice', async () => {
  expect(await ok<TypedSaved>(await save(draftOf(), NOW))).toMatchObject({ known: true });
});

test('other figures under the same name and time are refused, and the first kept', async () => {
  const answer = await save(draftOf({ 0: -1 }), NOW);
  expect(answer.status).toBe(409);
  expect(await answer.text()).toContain('stored with other numbers');
});

test('the next figure after saving begins another draft', async () => {
  await put(draftOf());
  expect((await drafts()).drafts.find(({ name }) => name === 'technician token')?.savedAt).toBeNull();
});

test('a channel that was looked for and not found is stored as lost', async () => {
  const draft = draftOf();
  draft.readings[3]!.lost = true;
  await ok(await save(draft, NOW - 60_000));
  const { rows } = await app.pool.query(
    `select lost_hz, array_length(level_cdbmv, 1) as levels from sweep where site_id = $1 and at = $2`,
    [siteId, iso(NOW - 60_000)],
  );
  expect(rows).toEqual([{ lost_hz: [213e6], levels: 5 }]);
});

test('what cannot be stored is named by the field of the form', async () => {
  expect(await fieldsOf(await save(draftOf({}, { instrument: ' ' })))).toEqual({
    instrument: 'is missing: name the meter',
  });
  expect(await fieldsOf(await save(draftOf({ 2: 100 })))).toEqual({
    'readings.2.level': expect.stringContaining('check the unit'),
  });
  expect(await fieldsOf(await save(draftOf({}, { ambientC: 300 })))).toHaveProperty('ambientC');
  expect(await fieldsOf(await save(draftOf({}, { readings: [] })))).toHaveProperty('readings');
  const twice = draftOf();
  twice.readings[4]!.freqMhz = twice.readings[1]!.freqMhz;
  expect(await fieldsOf(await save(twice))).toEqual({
    'readings.4.freqMhz': '147 MHz stands here twice: keep one of the two',
  });
  expect(await fieldsOf(await save(draftOf(), NOW + DAY))).toEqual({
    at: expect.stringContaining('set the clock'),
  });
});

test('a draft can be thrown away', async () => {
  await put(draftOf(), bare);
  expect((await app.send('technician', 'DELETE', at('/draft', bare))).status).toBe(204);
  expect((await drafts(bare)).drafts).toEqual([]);
});

test('a draft of yesterday is shown no more', async () => {
  await put(draftOf(), bare);
  app.nowMs = NOW + DAY;
  expect((await drafts(bare)).drafts).toEqual([]);
  app.nowMs = NOW;
});

test('a viewer may watch and not type; a point of another site is none', async () => {
  expect((await app.send('viewer', 'PUT', at('/draft'), draftOf())).status).toBe(403);
  expect((await app.send('viewer', 'POST', at(''), { ...draftOf(), at: iso(NOW) })).status).toBe(403);
  const other = await givenSite(app.db);
  const path = `/api/sites/${other}/points/${outlet}/readings`;
  expect((await app.send('technician', 'PUT', `${path}/draft`, draftOf())).status).toBe(404);
  expect((await app.send('viewer', 'GET', `${path}/drafts`)).status).toBe(404);
});

test('a point that has no sweeps is removed with what was typed there', async () => {
  await put(draftOf(), bare);
  expect((await app.send('manager', 'DELETE', `/api/sites/${siteId}/points/${bare}`)).status).toBe(204);
});
