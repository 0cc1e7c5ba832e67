import { randomUUID } from 'node:crypto';
import { beforeAll, beforeEach, describe, expect, test } from 'vitest';
import type {
  DayProposal,
  NewVisitDay,
  NewVisitResult,
  VisitDay,
  VisitDaySummary,
  VisitResultView,
} from '../../../api/schemas/visits.ts';
import { givenDrift } from '../../support/givenFindings.ts';
import { givenRaisedAlert } from '../../support/givenRaisedAlert.ts';
import { givenPoint, givenSite } from '../../support/givenSite.ts';
import { withApp } from '../../support/testApp.ts';
import { json } from '../routes/readApp.ts';

const HOUR = 3_600_000;
const NOW = Date.parse('2026-03-09T12:00:00Z');
const at = (hours: number) => new Date(NOW + hours * HOUR).toISOString();
const START = { startLatitude: 41.2, startLongitude: -72.1 };
const levelkeep = withApp();

interface GivenSite {
  readonly siteId: number;
  readonly handoff: number;
  readonly riser: number;
  readonly alertId: number;
}

/** A building with a drift in its riser that somebody was told about a day ago. */
async function givenTrouble(name: string, latitude: number, priority: number): Promise<GivenSite> {
  const { db } = levelkeep;
  const siteId = await givenSite(db, { name, latitude, longitude: -72.1, access_notes: 'Key at the desk' });
  const handoff = await givenPoint(db, siteId, { name: 'handoff', kind: 'handoff' });
  const riser = await givenPoint(db, siteId, { name: 'riser', kind: 'amplifier', fed_by: handoff });
  await givenDrift(db, siteId, riser, NOW - 100 * HOUR);
  const { event } = await db
    .selectFrom('finding')
    .select('event')
    .where('site_id', '=', siteId)
    .executeTakeFirstOrThrow();
  const changes = { priority, hop_to: riser, cause: 'Water in the cable or its connectors' };
  const alertId = await givenRaisedAlert(db, siteId, [{ event, pointId: riser }], NOW - 24 * HOUR, changes);
  return { siteId, handoff, riser, alertId };
}

let [near, far, pressing] = [null, null, null] as unknown as [GivenSite, GivenSite, GivenSite];

beforeAll(() => {
  levelkeep.nowMs = NOW;
});

beforeEach(async () => {
  for (const table of [
    'visit_result',
    'visit_alert',
    'visit',
    'visit_day',
    'alert_finding',
    'alert_change',
    'alert',
  ] as const)
    await levelkeep.db.deleteFrom(table).execute();
  near = await givenTrouble('Near', 41.21, 5);
  far = await givenTrouble('Far', 44, 900);
  pressing = await givenTrouble('Pressing', 41.25, 300);
});

const propose = (more = '') =>
  json<DayProposal>(
    levelkeep.send(
      'technician',
      'GET',
      `/api/visit-proposals?from=${at(2)}&to=${at(10)}&startLatitude=41.2&startLongitude=-72.1${more}`,
    ),
  );
const DAY = { technician: 'Ada', startName: 'Depot', ...START, timeZone: 'America/New_York' };
const keep = (siteIds: number[], status = 201) => {
  const day: NewVisitDay = { ...DAY, from: at(2), to: at(10), siteIds };
  return json<{ dayId: number }>(levelkeep.send('technician', 'POST', '/api/visit-days', day), status);
};
const sheet = (dayId: number) => json<VisitDay>(levelkeep.send('viewer', 'GET', `/api/visit-days/${dayId}`));
const results = async () =>
  (await json<{ results: VisitResultView[] }>(levelkeep.send('viewer', 'GET', '/api/visit-results'))).results;

function resultOf(site: GivenSite, changes: Partial<NewVisitResult> = {}): NewVisitResult {
  return {
    resultId: randomUUID(),
    alertId: site.alertId,
    pointId: site.riser,
    outcome: 'repaired',
    found: 'Wet connector',
    beganAt: at(-5),
    doneAt: at(-4),
    ...changes,
  };
}
const record = (siteId: number, result: NewVisitResult) =>
  levelkeep.send('technician', 'POST', `/api/sites/${siteId}/visit-results`, result);

describe('a proposed day', () => {
  test('goes to the pressing building first and leaves what does not fit, with the reason', async () => {
    const { stops, left, backAt } = await propose();
    expect(stops.map(({ name }) => name)).toEqual(['Pressing', 'Near']);
    expect(left).toMatchObject([{ name: 'Far', reason: 'no-room' }]);
    expect(stops[0]!.minutes).toBe(90 + 15);
    expect(Date.parse(stops[0]!.leaveAt) - Date.parse(stops[0]!.arriveAt)).toBe(105 * 60_000);
    expect(Date.parse(backAt!)).toBeLessThanOrEqual(NOW + 10 * HOUR);
  });

  test('leaves out what is asked, planned already, looked into, or the provider’s', async () => {
    await keep([near.siteId]);
    expect((await record(pressing.siteId, resultOf(pressing))).status).toBe(204);
    const theirs = await givenTrouble('Theirs', 41.22, 800);
    await levelkeep.db
      .updateTable('alert')
      .set({ side: 'provider' })
      .where('alert_id', '=', theirs.alertId)
      .execute();
    const { stops, left } = await propose(`&without=${far.siteId}`);
    expect(stops).toEqual([]);
    expect(Object.fromEntries(left.map(({ name, reason }) => [name, reason]))).toEqual({
      Far: 'left-out',
      Theirs: 'provider-side',
      Pressing: 'waiting-for-sweeps',
      Near: 'planned-already',
    });
  });

  test('does not hold shelved, suppressed, returned or joined alerts', async () => {
    const set = (siteId: number, change: object) =>
      levelkeep.db.updateTable('alert').set(change).where('site_id', '=', siteId).execute();
    await set(near.siteId, { state: 'shelved' });
    await set(far.siteId, { state: 'returned-unacknowledged' });
    await set(pressing.siteId, { part_of: near.alertId });
    expect(await propose()).toMatchObject({ stops: [], left: [] });
  });

  test('is refused when its hours end before they begin', async () => {
    const path = `/api/visit-proposals?from=${at(2)}&to=${at(1)}`;
    expect((await levelkeep.send('technician', 'GET', path)).status).toBe(422);
  });
});

describe('a kept day', () => {
  test('holds its sites in the order given, with what to bring, to check first and to mind', async () => {
    const { dayId } = await keep([near.siteId, pressing.siteId]);
    const { stops } = await sheet(dayId);
    expect(stops.map(({ name }) => name)).toEqual(['Near', 'Pressing']);
    expect(stops[0]).toMatchObject({ accessNotes: 'Key at the desk', results: [] });
    const [task] = stops[0]!.tasks;
    expect(task).toMatchObject({ pointId: near.riser, hopFrom: 'handoff', hopTo: 'riser' });
    expect(task!.causes[0]!.check.length).toBeGreaterThan(0);
    expect(task!.causes[0]!.bring.length).toBeGreaterThan(0);
    expect(task!.causes.flatMap(({ cautions }) => cautions)).toContain('bonding');
  });

  test('is refused when a site has no open alert, or the hours don’t suffice', async () => {
    const quiet = await givenSite(levelkeep.db);
    expect(await keep([quiet], 422)).toMatchObject({
      error: { fields: { 'siteIds.0': expect.stringContaining('no alert is open') } },
    });
    expect(await keep([near.siteId, far.siteId], 422)).toMatchObject({
      error: { fields: { 'siteIds.1': expect.stringContaining('not back in time') } },
    });
  });

  test('that is cancelled says by whom, and its sites are offered again', async () => {
    const { dayId } = await keep([near.siteId]);
    expect((await levelkeep.send('technician', 'DELETE', `/api/visit-days/${dayId}`)).status).toBe(204);
    const { days } = await json<{ days: VisitDaySummary[] }>(
      levelkeep.send('viewer', 'GET', '/api/visit-days'),
    );
    expect(days).toMatchObject([{ dayId, cancelledBy: expect.any(String), sites: [{ name: 'Near' }] }]);
    expect((await propose()).stops.map(({ name }) => name)).toContain('Near');
  });
});

describe('a result', () => {
  test('sent twice is kept once, and its time is never ahead of the server', async () => {
    const { dayId } = await keep([near.siteId]);
    const { visitId } = (await sheet(dayId)).stops[0]!;
    const result = resultOf(near, { visitId, doneAt: at(3) });
    expect((await record(near.siteId, result)).status).toBe(204);
    expect((await record(near.siteId, result)).status).toBe(204);
    const [stop] = (await sheet(dayId)).stops;
    expect(stop!.results).toMatchObject([{ found: 'Wet connector', doneAt: at(0), pointName: 'riser' }]);
    const notes = levelkeep.db.selectFrom('alert_change').select(['kind', 'why', 'by_whom']);
    expect(await notes.where('alert_id', '=', near.alertId).execute()).toMatchObject([
      { kind: 'note', why: 'Visit: repaired, sweeps have yet to confirm it. Found: Wet connector.' },
    ]);
  });

  test('names what it cannot belong to', async () => {
    const answer = await record(
      near.siteId,
      resultOf(near, { pointId: far.riser, alertId: far.alertId, visitId: 99 }),
    );
    expect(answer.status).toBe(422);
    const { error } = (await answer.json()) as { error: { fields: object } };
    expect(Object.keys(error.fields).sort()).toEqual(['alertId', 'pointId', 'visitId']);
  });

  test('waits for sweeps, shows those before and after, and is confirmed by the engine alone', async () => {
    const hour = (hours: number, level: number) => ({
      site_id: near.siteId,
      point_id: near.riser,
      hour: new Date(NOW + hours * HOUR),
      sweeps: 4,
      level_dbmv: level,
      level_dev_db: level - 5,
      tilt_db: -1,
      tilt_dev_db: 0,
      flatness_db: 1,
      mer_margin_db: 4,
      ambient_c: null,
    });
    await levelkeep.db
      .insertInto('hourly')
      .values([hour(-8, 2), hour(-6, 2.5), hour(-5, 3), hour(-3, 5), hour(-2, 5.1)])
      .execute();
    await record(near.siteId, resultOf(near));
    expect(await results()).toMatchObject([
      {
        alertTitle: 'Level falls in the riser',
        sweptBefore: { at: at(-6), levelDbmv: 2.5 },
        sweptAfter: { at: at(-2) },
        standing: { state: 'waiting', hoursRead: 2 },
      },
    ]);
    const alert = levelkeep.db.selectFrom('alert').select('closed_at').where('alert_id', '=', near.alertId);
    expect(await alert.executeTakeFirst()).toEqual({ closed_at: null });

    await levelkeep.db
      .updateTable('finding')
      .set({ closed_at: new Date(NOW - HOUR) })
      .where('site_id', '=', near.siteId)
      .execute();
    expect((await results())[0]!.standing).toMatchObject({ state: 'confirmed', at: at(-1) });
  });
});
