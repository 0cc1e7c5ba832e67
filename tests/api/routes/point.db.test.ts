import { beforeAll, describe, expect, test } from 'vitest';
import {
  type BaselineListView,
  BaselineProposalSchema,
  type BaselineProposalView,
  BaselineVersionSchema,
  type BaselineVersionView,
} from '../../../api/schemas/baseline.ts';
import {
  type BandView,
  BandViewSchema,
  type HistoryView,
  HistoryViewSchema,
  type SiteView,
  SiteViewSchema,
} from '../../../api/schemas/site.ts';
import { givenDrift, givenLatest } from '../../support/givenFindings.ts';
import {
  aSweep,
  givenPlan,
  givenPlanVersion,
  givenPoint,
  givenSite,
  givenSweeps,
  THIRTY_CHANNELS,
} from '../../support/givenSite.ts';
import { withDatabase } from '../../support/withDatabase.ts';
import { json, readApp } from './readApp.ts';

const database = withDatabase();
const MINUTE = 60_000;
const DAY = 86_400_000;
const INSTALLED = Date.parse('2026-10-01T12:00:00Z');
const LINE_UP = Date.parse('2026-11-10T06:00:00Z');
const NOW = Date.parse('2026-11-12T20:30:00Z');
const iso = (ms: number) => new Date(ms).toISOString();

let siteId: number;
let handoff: number;
let floor3: number;
const app = (role: 'viewer' | 'technician' = 'viewer') => readApp(database, NOW, role);
const at = (path = '') => `/api/sites/${siteId}/points/${floor3}${path}`;

beforeAll(async () => {
  const { db } = database;
  const planId = await givenPlan(db);
  siteId = await givenSite(db, { name: 'Alder Court', outlets: 48, plan_id: planId, contact: 'desk' });
  handoff = await givenPoint(db, siteId, { name: 'handoff', kind: 'handoff' });
  floor3 = await givenPoint(db, siteId, { name: 'floor-3', label: 'floor 3', fed_by: handoff, outlets: 48 });
  const then = [0, 15, 30].map((minute) =>
    aSweep(INSTALLED + minute * MINUTE, { levelAt: () => 4, merAt: () => 39 }),
  );
  await givenSweeps(db, siteId, floor3, then);

  // From 10 November channel 30 carries another modulation, and 28 and 29 leave the plan, of which 29 still shows; so does
  // one carrier outside the plan, and channel 2 is lost.
  const changed = THIRTY_CHANNELS.filter(({ channel }) => channel !== '28' && channel !== '29').map((each) =>
    each.channel === '30' ? { ...each, modulation: 'qam64' as const } : each,
  );
  await givenPlanVersion(db, planId, LINE_UP, changed, 'channel 30 to 64-QAM');
  const freqMhz = [
    ...THIRTY_CHANNELS.filter(({ channel }) => channel !== '2' && channel !== '28').map(
      ({ centreMhz }) => centreMhz,
    ),
    400,
  ];
  const now = [65, 50, 35, 20, 5].map((minute) =>
    aSweep(NOW - minute * MINUTE, {
      freqMhz,
      lostMhz: [117],
      levelAt: (mhz) => (mhz === 400 ? -20 : mhz === 285 ? -2 : 1.3),
      merAt: (mhz) => (mhz === 129 ? 32 : mhz === 400 ? null : 38),
      instrument: minute < 30 ? 'probe-9' : 'probe-7',
    }),
  );
  await givenSweeps(db, siteId, floor3, now);
  await givenDrift(db, siteId, floor3, NOW - 30 * DAY);
  await givenDrift(db, siteId, floor3, NOW - 200 * DAY, { closed_at: new Date(NOW - 100 * DAY) });
  await givenLatest(db, siteId, floor3, NOW - 5 * MINUTE, -2.7);
});

describe('baselines', () => {
  const path = () => at('/baselines');
  const window = { from: iso(INSTALLED), to: iso(INSTALLED + DAY) };

  test('are previewed with their channels, for technicians, and nothing is kept', async () => {
    const query = `${path()}/preview?from=${window.from}&to=${window.to}`;
    expect((await app().request(query)).status).toBe(403);

    const proposal = await json<BaselineProposalView>(app('technician').request(query));
    BaselineProposalSchema.parse(proposal);
    expect(proposal).toMatchObject({ pointId: floor3, sweeps: 3, levelDbmv: 4, outside: [], current: null });
    expect(proposal.channels[1]).toEqual({
      freqMhz: 117,
      channel: '2',
      modulation: 'qam256',
      levelDbmv: 4,
      levelSpreadDb: 0,
      merDb: 39,
      merSpreadDb: 0,
      cnrDb: null,
    });
    expect((await json<BaselineListView>(app().request(path()))).versions).toEqual([]);
  });

  test('are accepted under the name of whoever is signed in, then listed', async () => {
    const accept = (role: 'viewer' | 'technician') =>
      app(role).request(path(), {
        method: 'POST',
        headers: { 'content-type': 'application/json' },
        body: JSON.stringify(window),
      });
    expect((await accept('viewer')).status).toBe(403);
    const kept = await json<BaselineVersionView>(accept('technician'), 201);
    BaselineVersionSchema.parse(kept);
    expect(kept).toMatchObject({
      version: 1,
      acceptedBy: 'Ada Field',
      acceptedAt: iso(NOW),
      effectiveFrom: iso(INSTALLED),
    });
    expect((await json<BaselineListView>(app().request(path()))).versions).toEqual([kept]);
  });

  test('are refused with what lies outside the limits', async () => {
    const answer = await app('technician').request(path(), {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify({ from: iso(NOW - DAY), to: iso(NOW) }),
    });
    expect(answer.status).toBe(422);
    const { error } = (await answer.json()) as { error: { code: string; message: string } };
    expect(error.code).toBe('baseline-outside-limits');
    expect(error.message).toContain('mer of channel 4 is 32 dB (at least 33 dB)');
  });

  test.each(['{}', '{"from":"yesterday","to":"today"}', 'not json', '[]'])(
    'refuse a body of %s without a 500',
    async (body) => {
      const answer = await app('technician').request(path(), {
        method: 'POST',
        headers: { 'content-type': 'application/json' },
        body,
      });
      expect([400, 422]).toContain(answer.status);
    },
  );
});

describe('GET band', () => {
  const channel = (band: BandView, name: string) => band.channels.find((each) => each.channel === name);

  test('sets now beside then, channel by channel, with margins and limits', async () => {
    const band = await json<BandView>(app().request(at('/band')));
    BandViewSchema.parse(band);
    expect(band.now).toEqual({
      at: iso(NOW - 5 * MINUTE),
      instrument: 'probe-9',
      medianOf: null,
      maintenance: null,
      calibrationOverdueSince: null,
    });
    expect(band.baseline).toMatchObject({ version: 1, acceptedBy: 'Ada Field' });
    expect(channel(band, '1')).toMatchObject({
      freqMhz: 111,
      thenLevelDbmv: 4,
      nowLevelDbmv: 1.3,
      thenMerDb: 39,
      nowMerDb: 38,
      marginDb: 5,
      levelMinDbmv: -12,
      levelMaxDbmv: 15,
      lost: false,
    });
    expect(channel(band, '1')?.deviationDb).toBeCloseTo(-2.7, 9);
    expect(band.thenLine).toMatchObject({ lowMhz: 111, highMhz: 285, levelLowDbmv: 4, levelHighDbmv: 4 });
    expect(band.nowLine?.levelLowDbmv).toBeCloseTo(1.3, 6);
    expect(band.channels.map(({ freqMhz }) => freqMhz)).toEqual(
      [...band.channels.map(({ freqMhz }) => freqMhz)].sort((a, b) => a - b),
    );
  });

  test('marks a lost channel, keeps a carrier outside the plan, and compares nothing across a line-up change', async () => {
    const band = await json<BandView>(app().request(at('/band')));
    expect(channel(band, '2')).toMatchObject({ lost: true, nowLevelDbmv: null, thenLevelDbmv: 4 });
    expect(band.channels.at(-1)).toMatchObject({
      freqMhz: 400,
      channel: null,
      modulation: null,
      nowLevelDbmv: -20,
    });
    expect(channel(band, '30')).toMatchObject({
      modulation: 'qam64',
      thenLevelDbmv: null,
      deviationDb: null,
      nowLevelDbmv: -2,
      lost: false,
    });
    expect(band.breaches).toMatchObject([{ quantity: 'mer', channel: '4', value: 32 }]);
  });

  test('names channels that left the plan by their old RF channel, and neither compares nor judges nor misses them', async () => {
    const band = await json<BandView>(app().request(at('/band')));
    const left = {
      standing: 'left-plan',
      leftPlanAt: iso(LINE_UP),
      modulation: 'qam256',
      thenLevelDbmv: 4,
      deviationDb: null,
      marginDb: null,
      lost: false,
      levelMinDbmv: null,
    };
    expect(channel(band, '28')).toMatchObject({ ...left, nowLevelDbmv: null });
    expect(channel(band, '29')).toMatchObject({ ...left, nowLevelDbmv: 1.3 });
    expect(band.channels.at(-1)).toMatchObject({ standing: 'outside-plan', leftPlanAt: null });
    const planned = band.channels.filter(({ standing }) => standing === 'planned');
    expect(planned).toHaveLength(28);
    expect(planned.every(({ leftPlanAt }) => leftPlanAt === null)).toBe(true);
  });

  test('goes back to the sweep at a moment', async () => {
    const band = await json<BandView>(app().request(at(`/band?at=${iso(INSTALLED + 20 * MINUTE)}`)));
    expect(band.now?.at).toBe(iso(INSTALLED + 15 * MINUTE));
    expect(channel(band, '30')).toMatchObject({ modulation: 'qam256', deviationDb: 0 });
  });

  test('has an answer before the first sweep, and none for a point that is not there', async () => {
    const band = await json<BandView>(app().request(`/api/sites/${siteId}/points/${handoff}/band`));
    expect(band).toMatchObject({ now: null, baseline: null, channels: [], thenLine: null, nowLine: null });
    expect((await app().request(`/api/sites/${siteId}/points/999999/band`)).status).toBe(404);
    expect((await app().request(at('/band?at=yesterday'))).status).toBe(422);
  });
});

describe('GET history', () => {
  test('shows a few days sweep by sweep, with instruments marked', async () => {
    const history = await json<HistoryView>(app().request(at(`/history?from=${iso(NOW - DAY)}`)));
    HistoryViewSchema.parse(history);
    expect(history.resolution).toBe('sweep');
    expect(history.times).toEqual([65, 50, 35, 20, 5].map((minute) => (NOW - minute * MINUTE) / 1000));
    expect(history.levelDbmv[0]).toBeCloseTo(1.3, 2);
    expect(history.merMarginDb[0]).toBe(-1);
    expect(history.ambientC[0]).toBe(21.5);
    expect(history.events).toMatchObject([{ at: iso(NOW - 20 * MINUTE), kind: 'instrument' }]);
  });

  test('shows the last 30 days hour by hour unless asked otherwise, with line-up changes and findings', async () => {
    await database.db
      .insertInto('hourly')
      .values(
        [1, 2].map((days) => ({
          site_id: siteId,
          point_id: floor3,
          hour: new Date(NOW - days * DAY),
          sweeps: 4,
          level_dbmv: 1.5,
          level_dev_db: -2.5,
          tilt_db: null,
          tilt_dev_db: null,
          flatness_db: 1,
          mer_margin_db: 4,
          ambient_c: null,
        })),
      )
      .execute();
    const history = await json<HistoryView>(app().request(at('/history')));
    HistoryViewSchema.parse(history);
    expect(history).toMatchObject({
      resolution: 'hour',
      levelDbmv: [1.5, 1.5],
      tiltDb: [null, null],
      merMarginDb: [4, 4],
    });
    expect(history.times).toEqual([NOW - 2 * DAY, NOW - DAY].map((ms) => ms / 1000));
    expect(history.baselines).toMatchObject([{ version: 1, levelDbmv: 4 }]);
    expect(history.limits.level).toEqual({ min: -12, target: null, max: 15 });
    expect(history.events.map(({ kind, text }) => [kind, text])).toEqual([
      ['plan', 'channel plan version 2: channel 30 to 64-QAM'],
      ['instrument', 'instrument probe-9 reads here for the first time'],
    ]);
    expect(history.findings).toHaveLength(1);
  });

  test('reaches back to findings that ended long ago', async () => {
    const history = await json<HistoryView>(app().request(at(`/history?from=${iso(NOW - 365 * DAY)}`)));
    expect(history.findings.map(({ closedAt }) => closedAt)).toEqual([null, iso(NOW - 100 * DAY)]);
  });

  test('refuses an end before the start', async () => {
    const answer = await app().request(at(`/history?from=${iso(NOW)}&to=${iso(NOW - DAY)}`));
    expect(answer.status).toBe(422);
  });
});

describe('GET /api/sites/:siteId', () => {
  test('gives points in tree order with readings and verdicts, and findings in words', async () => {
    const view = await json<SiteView>(app().request(`/api/sites/${siteId}`));
    SiteViewSchema.parse(view);
    expect(view.site).toMatchObject({
      name: 'Alder Court',
      contact: 'desk',
      planName: expect.stringMatching(/^plan/),
    });
    expect(view.points.map(({ name, depth, verdict }) => [name, depth, verdict])).toEqual([
      ['handoff', 0, 'no-baseline'],
      ['floor-3', 1, 'act'],
    ]);
    expect(view.points[1]).toMatchObject({
      baselineVersion: 1,
      latest: { levelDevDb: -2.7, merDevDb: -0.4, breaches: [{ quantity: 'mer', channel: '4' }] },
    });
    expect(view.findings).toHaveLength(1);
    expect(view.findings[0]?.sentence).toContain('Level falling 0.09 dB a day since 13 Oct');
    expect(view.findings[0]).toMatchObject({ pointName: 'floor 3', side: 'building', explainedBy: null });
  });

  test('answers 404 for a site that is not there and 422 for an address that is none', async () => {
    expect((await app().request('/api/sites/999999')).status).toBe(404);
    expect((await app().request('/api/sites/abc')).status).toBe(422);
  });
});
