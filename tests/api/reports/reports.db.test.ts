import { sql } from 'kysely';
import { beforeAll, describe, expect, test } from 'vitest';
import type { ReportData } from '../../../api/reports/reportData.ts';
import { aSweep, givenSweeps } from '../../support/givenSite.ts';
import { addTestPerson, cookieOf, ORIGIN, signIn, withApp } from '../../support/testApp.ts';
import { FROM, type ReportSite, reportSite, TO } from './reportSite.ts';

const levelkeep = withApp();
const iso = (ms: number) => new Date(ms).toISOString();
const PERIOD = `from=${iso(FROM)}&to=${iso(TO)}`;
let site: ReportSite;

interface Answer {
  readonly hash: string;
  readonly parts: readonly { readonly part: string; readonly hash: string }[];
  readonly report: ReportData;
}

beforeAll(async () => {
  levelkeep.nowMs = TO;
  site = await reportSite(levelkeep.db);
  await addTestPerson(levelkeep, 'vera@quillhaven.example', 'viewer');
});

const ask = (path: string, query: string) =>
  levelkeep.send('viewer', 'GET', `/api/sites/${site.siteId}/report${path}?${query}`);
const data = async (kind = 'handoff', period = PERIOD): Promise<Answer> =>
  (await ask('', `kind=${kind}&${period}`)).json() as Promise<Answer>;

describe('the report for the provider', () => {
  test('speaks of the handoff alone', async () => {
    const { report } = await data();
    expect(report.setUp.points.map(({ pointId }) => pointId)).toEqual([site.handoff]);
    expect(report.findings).toHaveLength(1);
    expect(report.findings[0]!.side).toBe('provider');
  });

  test('holds the medians of the last hours against the baseline: one wild sweep changes nothing', async () => {
    const { report } = await data();
    const [readings] = report.readings;
    expect(readings!.now).toMatchObject({ sweeps: 4, instruments: ['probe-7'] });
    const channel = readings!.channels.find((each) => each.channel === '5')!;
    expect(channel.thenLevelDbmv).toBe(20);
    expect(channel.nowLevelDbmv).toBeCloseTo(14.95, 6);
    expect(channel.deviationDb).toBeCloseTo(-5.05, 6);
    expect(channel.levelMarginDb).toBeCloseTo(14.95 - 17, 6);
    expect(channel.merMarginDb).toBeCloseTo(38 - channel.merLimitDb!, 6);
  });

  test('names a channel that was not found, without a reading of it', async () => {
    const { report } = await data();
    const lost = report.readings[0]!.channels.filter((channel) => channel.lost);
    expect(lost.map(({ channel, nowLevelDbmv }) => [channel, nowLevelDbmv])).toEqual([['2', null]]);
  });

  test('counts the sweeps of the period and those that were due', async () => {
    const { report } = await data();
    expect(report.history[0]).toMatchObject({ sweeps: 4, sweepsDue: 2880, stepHours: 2 });
    expect(report.history[0]!.levelDbmv.slice(0, 2)).toEqual([19.95, 19.75]);
  });
});

describe('the content hash', () => {
  test('is the same whenever it is asked for', async () => {
    const first = await data();
    levelkeep.nowMs = TO + 86_400_000;
    expect((await data()).hash).toBe(first.hash);
    levelkeep.nowMs = TO;
  });

  test('stays when a sweep comes in after the period, and changes with one within', async () => {
    const first = await data();
    await givenSweeps(levelkeep.db, site.siteId, site.handoff, [aSweep(TO + 60_000)]);
    expect((await data()).hash).toBe(first.hash);
    await givenSweeps(levelkeep.db, site.siteId, site.handoff, [aSweep(TO - 90_000, { levelAt: () => 15 })]);
    const second = await data();
    expect(second.hash).not.toBe(first.hash);
    const differing = second.parts.filter(({ hash }, i) => hash !== first.parts[i]!.hash);
    expect(differing.map(({ part }) => part)).toEqual(['readings', 'history', 'instruments']);
  });

  test('stays when limits are chosen after the period', async () => {
    const first = await data();
    await levelkeep.db
      .insertInto('site_limit_choice')
      .values({
        site_id: site.siteId,
        kind: 'handoff',
        point_id: null,
        set_id: 'in-building-line',
        reason: 'later',
        chosen_by: 'Ada',
        chosen_at: new Date(TO + 1),
      })
      .execute();
    expect((await data()).hash).toBe(first.hash);
  });

  test('can be checked: it matches, or the hashes of now are answered', async () => {
    const { hash, parts } = await data();
    const check = async (printed: string) =>
      (
        await levelkeep.send(
          'viewer',
          'GET',
          `/api/reports/check?siteId=${site.siteId}&kind=handoff&${PERIOD}&hash=${printed}`,
        )
      ).json();
    expect(await check(hash.toUpperCase())).toEqual({ matches: true, hash, parts });
    expect(await check('0'.repeat(64))).toEqual({ matches: false, hash, parts });
  });

  test('stands in the CSV and on the page', async () => {
    const { hash } = await data();
    expect(await (await ask('.csv', `kind=handoff&${PERIOD}`)).text()).toContain(hash);
    const page = await levelkeep.send('viewer', 'GET', `/sites/${site.siteId}/report?kind=handoff&${PERIOD}`);
    expect(await page.text()).toContain(hash);
  });
});

describe('instruments', () => {
  test('are told with the newest calibration by the end of the period', async () => {
    const { db } = levelkeep;
    await sql`
      insert into instrument (site_id, name) values (${site.siteId}, 'probe-7') on conflict do nothing`.execute(
      db,
    );
    await sql`
      insert into instrument_calibration (site_id, name, calibrated_at, due_at, uncertainty_db, certificate, entered_by)
      values
        (${site.siteId}, 'probe-7', '2024-05-02T12:00:00Z', null, 2, 'C-1', 'Ada'),
        (${site.siteId}, 'probe-7', '2026-05-02T12:00:00Z', '2027-05-02T12:00:00Z', 1.5, 'C-2', 'Ada'),
        (${site.siteId}, 'probe-7', ${iso(TO + 1)}, null, 1, 'C-3', 'Ada')`.execute(db);
    const { report } = await data();
    expect(report.instruments[0]).toMatchObject({
      instrument: 'probe-7',
      calibration: { certificate: 'C-2', uncertaintyDb: 1.5, calibratedAt: '2026-05-02T12:00:00.000Z' },
    });
    const page = await levelkeep.send('viewer', 'GET', `/sites/${site.siteId}/report?${PERIOD}`);
    expect(await page.text()).toContain('2 May 2026; next due 2 May 2027; ±1.5 dB; C-2');
  });
});

describe('the files', () => {
  test('a PDF has the same bytes each time, and others on other paper', async () => {
    const pdf = async (paper: string) =>
      Buffer.from(await (await ask('.pdf', `kind=handoff&${PERIOD}&paper=${paper}`)).arrayBuffer());
    const first = await pdf('a4');
    levelkeep.nowMs = TO + 5000;
    const second = await pdf('a4');
    levelkeep.nowMs = TO;
    expect(first.subarray(0, 5).toString()).toBe('%PDF-');
    expect(first.equals(second)).toBe(true);
    expect(first.equals(await pdf('letter'))).toBe(false);
  });

  test('the CSV has a line for every channel of every point', async () => {
    const lines = (await (await ask('.csv', `kind=building&${PERIOD}`)).text()).trimEnd().split('\r\n');
    expect(lines).toHaveLength(1 + 60);
    const [head, ...rows] = lines.map((line) => line.split(','));
    const row = Object.fromEntries(head!.map((name, i) => [name, rows[4]![i]]));
    expect(row).toMatchObject({ point: 'handoff', channel: '5', then_level_dbmv: '20.00', lost: 'no' });
    expect(rows.filter(([point]) => point === 'floor-3')).toHaveLength(30);
  });

  test.each(['handoff', 'building', 'turnover'])('there is a %s report in every form', async (kind) => {
    for (const path of ['', '.pdf', '.csv']) {
      expect((await ask(path, `kind=${kind}&${PERIOD}`)).status).toBe(200);
    }
  });
});

describe('the page', () => {
  const page = (query: string, headers: Record<string, string> = {}) =>
    levelkeep.app.request(`${ORIGIN}/sites/${site.siteId}/report?${query}`, { headers });

  test('sends whoever is not signed in to the door, to come back from there', async () => {
    const answer = await page('kind=handoff');
    expect(answer.status).toBe(302);
    const back = encodeURIComponent(`/sites/${site.siteId}/report?kind=handoff`);
    expect(answer.headers.get('location')).toBe(`/sign-in?next=${back}`);
  });

  test('puts its period into the address, by days of the site’s zone where days are asked for', async () => {
    const cookie = cookieOf(await signIn(levelkeep, 'vera@quillhaven.example'));
    const plain = await page('kind=handoff', { cookie });
    expect(decodeURIComponent(plain.headers.get('location')!)).toContain(PERIOD);
    const days = await page('kind=handoff&fromDay=2026-11-01&toDay=2026-11-01', { cookie });
    expect(decodeURIComponent(days.headers.get('location')!)).toContain(
      'from=2026-11-01T05:00:00.000Z&to=2026-11-02T06:00:00.000Z',
    );
  });

  test('takes names as text, whatever stands in them', async () => {
    const answer = await levelkeep.send('viewer', 'GET', `/sites/${site.siteId}/report?${PERIOD}`);
    const html = await answer.text();
    expect(html).toContain('Alder &lt;b&gt;Court&lt;/b&gt;');
    expect(html).not.toContain('<b>Court');
    expect(html).not.toMatch(/<script|style="/);
  });

  test('says what it does not know', async () => {
    const answer = await levelkeep.send(
      'viewer',
      'GET',
      `/sites/${site.siteId}/report?kind=building&${PERIOD}`,
    );
    const html = await answer.text();
    expect(html).toContain('floor 3: without a baseline, no change can be told.');
    expect(html).toContain('of about 2880 sweeps due (every 15 min) came in');
  });
});

test('a period that is empty or too long is refused', async () => {
  const refused = async (from: string) => (await ask('', `kind=handoff&from=${from}&to=${iso(TO)}`)).status;
  expect(await refused(iso(TO))).toBe(422);
  expect(await refused('2020-01-01T00:00:00Z')).toBe(422);
});
