import { beforeAll, beforeEach, describe, expect, test } from 'vitest';
import type {
  ComplaintFigures,
  Complaints,
  NewComplaint,
  SiteServices,
} from '../../../api/schemas/complaints.ts';
import { givenDrift } from '../../support/givenFindings.ts';
import { givenRaisedAlert } from '../../support/givenRaisedAlert.ts';
import { givenPlan, givenPoint, givenSite, THIRTY_CHANNELS } from '../../support/givenSite.ts';
import { withApp } from '../../support/testApp.ts';
import { json } from '../routes/readApp.ts';

const NOW = Date.parse('2026-03-09T18:00:00Z');
const HOUR = 3_600_000;
const levelkeep = withApp();
let siteId = 0;
let handoff = 0;
let outlet = 0;
let otherOutlet = 0;

const channels = THIRTY_CHANNELS.map((channel) => ({
  ...channel,
  services:
    channel.channel === '9'
      ? [
          { number: '107', name: 'Harbour News' },
          { number: '108', name: 'Harbour Sport' },
        ]
      : channel.channel === '10'
        ? [{ number: '1070', name: 'Harbour Weather' }]
        : [],
}));

beforeAll(async () => {
  levelkeep.nowMs = NOW;
});

beforeEach(async () => {
  const { db } = levelkeep;
  await db.deleteFrom('complaint').execute();
  siteId = await givenSite(db, { plan_id: await givenPlan(db, channels) });
  handoff = await givenPoint(db, siteId, { name: 'handoff', kind: 'handoff' });
  outlet = await givenPoint(db, siteId, { name: '4B', label: 'Flat 4B', fed_by: handoff });
  otherOutlet = await givenPoint(db, siteId, { name: '5A', fed_by: handoff });
});

const log = (complaint: NewComplaint, status = 201) =>
  json<{ complaintId: number }>(
    levelkeep.send('technician', 'POST', `/api/sites/${siteId}/complaints`, complaint),
    status,
  );
const listed = async () =>
  (await json<Complaints>(levelkeep.send('viewer', 'GET', `/api/complaints?site=${siteId}`))).complaints;

/** A finding of the event that was given last. */
async function givenFinding(pointId: number, onsetMs: number, changes = {}) {
  await givenDrift(levelkeep.db, siteId, pointId, onsetMs, changes);
  const { event } = await levelkeep.db
    .selectFrom('finding')
    .select('event')
    .where('site_id', '=', siteId)
    .orderBy('event', 'desc')
    .executeTakeFirstOrThrow();
  return { event, pointId };
}

describe('a complaint', () => {
  test('is logged with one choice alone, now, at the site', async () => {
    await log({ symptom: 'no-picture' });
    expect(await listed()).toMatchObject([
      {
        siteId,
        seenAt: new Date(NOW).toISOString(),
        pointId: null,
        symptom: 'no-picture',
        rfChannel: null,
        judgement: { verdict: 'not-seen', read: false },
      },
    ]);
  });

  test('names the RF channel behind the number that the viewer dials, and what else it carries', async () => {
    await log({ symptom: 'breaks-up', viewerChannel: '107', pointId: outlet });
    const [complaint] = await listed();
    expect(complaint).toMatchObject({ rfChannel: '9', rfMhz: 159, pointName: 'Flat 4B' });
    expect(complaint!.services.map(({ number }) => number)).toEqual(['107', '108']);
  });

  test('leaves the RF channel open where the viewer’s words fit several, unless one is chosen', async () => {
    const answer = await levelkeep.send('viewer', 'GET', `/api/sites/${siteId}/services?search=harbour`);
    const { channels: found } = await json<SiteServices>(answer);
    expect(found.map(({ channel }) => channel)).toEqual(['9', '10']);
    await log({ symptom: 'breaks-up', viewerChannel: 'harbour', rfChannel: '10' });
    await log({ symptom: 'breaks-up', viewerChannel: 'harbour' });
    expect((await listed()).map(({ rfChannel }) => rfChannel)).toEqual([null, '10']);
  });

  test('is refused with the field and the fix for a point, a channel or a time that cannot be', async () => {
    const answer = await log({ symptom: 'noise', pointId: 999_999 }, 422);
    expect(answer).toMatchObject({ error: { fields: { pointId: 'this site has no point 999999' } } });
    expect(await log({ symptom: 'noise', rfChannel: '99' }, 422)).toMatchObject({
      error: { fields: { rfChannel: expect.stringContaining('channel plan') } },
    });
    const ahead = new Date(NOW + HOUR).toISOString();
    expect(await log({ symptom: 'noise', seenAt: ahead }, 422)).toMatchObject({
      error: { fields: { seenAt: 'lies in the future' } },
    });
  });

  test('taken back is gone from the list, and can be taken back once', async () => {
    const { complaintId } = await log({ symptom: 'noise' });
    const path = `/api/sites/${siteId}/complaints/${complaintId}`;
    expect((await levelkeep.send('technician', 'DELETE', path)).status).toBe(204);
    expect((await levelkeep.send('technician', 'DELETE', path)).status).toBe(404);
    expect(await listed()).toEqual([]);
  });
});

describe('a judgement', () => {
  test('gives the lead time of the alert that stood at the point or above it', async () => {
    const finding = await givenFinding(handoff, NOW - 100 * HOUR);
    const alertId = await givenRaisedAlert(levelkeep.db, siteId, [finding], NOW - 30 * HOUR);
    await log({ symptom: 'breaks-up', pointId: outlet });
    expect((await listed())[0]!.judgement).toMatchObject({
      verdict: 'warned',
      leadHours: 30,
      by: { source: 'alert', alertId },
    });
  });

  test('moves when the findings change', async () => {
    await log({ symptom: 'breaks-up', pointId: outlet });
    expect((await listed())[0]!.judgement.verdict).toBe('not-seen');
    await givenFinding(outlet, NOW - 10 * HOUR);
    expect((await listed())[0]!.judgement.verdict).toBe('below-notice');
    await levelkeep.db
      .updateTable('finding')
      .set({ detected_at: new Date(NOW - 2 * HOUR) })
      .execute();
    expect((await listed())[0]!.judgement).toMatchObject({ verdict: 'warned', leadHours: 2 });
  });

  test('sees a change from baseline that was below every threshold, at that point alone', async () => {
    const hour = { site_id: siteId, hour: new Date(NOW - 3 * HOUR), sweeps: 4 };
    await levelkeep.db
      .insertInto('hourly')
      .values({ ...hour, point_id: outlet, level_dev_db: -1.6, tilt_dev_db: 0.3 } as never)
      .execute();
    await log({ symptom: 'breaks-up', pointId: outlet });
    await log({ symptom: 'breaks-up', pointId: otherOutlet });
    const judged = (await listed()).map(({ judgement }) => judgement);
    expect(judged[1]).toMatchObject({ verdict: 'below-notice', by: null });
    expect(judged[1]!.deviationDb).toBeCloseTo(-1.6, 5);
    expect(judged[0]).toMatchObject({ verdict: 'not-seen', read: false });
  });
});

test('the figures count what was warned of before by month, and alerts with nothing behind them', async () => {
  const finding = await givenFinding(outlet, NOW - 900 * HOUR, { closed_at: new Date(NOW - 500 * HOUR) });
  const alert = await givenRaisedAlert(levelkeep.db, siteId, [finding], NOW - 800 * HOUR, {
    returned_at: new Date(NOW - 500 * HOUR),
  });
  const at = (hoursAgo: number) => new Date(NOW - hoursAgo * HOUR).toISOString();
  await log({ symptom: 'noise', pointId: outlet, seenAt: at(700) });
  await log({ symptom: 'noise', pointId: outlet, seenAt: at(600) });
  await log({ symptom: 'noise', pointId: outlet, seenAt: at(10) });
  await log({ symptom: 'noise', pointId: otherOutlet, seenAt: at(600) });
  await levelkeep.db
    .insertInto('visit_result')
    .values({
      site_id: siteId,
      result_id: '0190a0a0-0000-7000-8000-000000000001',
      alert_id: alert,
      point_id: outlet,
      outcome: 'nothing-found',
      began_at: new Date(NOW - 490 * HOUR),
      done_at: new Date(NOW - 489 * HOUR),
      recorded_by: 'Ada',
      received_at: new Date(NOW - 489 * HOUR),
    })
    .execute();

  const figures = await json<ComplaintFigures>(levelkeep.send('viewer', 'GET', '/api/complaint-figures'));
  expect(figures).toMatchObject({
    complaints: 4,
    warned: { hits: 2, of: 4, share: 0.5 },
    notSeen: 2,
    medianLeadHours: 150,
    nothingFound: { hits: 1, of: 1, share: 1 },
  });
  expect(figures.warned.low).toBeCloseTo(0.15, 2);
  expect(figures.months.map(({ month, complaints }) => [month, complaints])).toEqual([
    ['2026-03', 1],
    ['2026-02', 3],
  ]);
});
