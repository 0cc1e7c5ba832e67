import { beforeAll, describe, expect, test } from 'vitest';
import { syncAlerts } from '../../../api/alerts/syncAlerts.ts';
import {
  type AlertPage,
  AlertPageSchema,
  type DoneToAlerts,
  OneAlertSchema,
  type OneAlertView,
} from '../../../api/schemas/alerts.ts';
import { givenDrift } from '../../support/givenFindings.ts';
import { withDatabase } from '../../support/withDatabase.ts';
import { type Building, DAY, givenBuilding, givenProvider, HOUR } from '../alerts/alertSite.ts';
import { json, readApp } from './readApp.ts';

const database = withDatabase();
const ONSET = Date.parse('2026-11-02T12:00:00Z');
const NOW = ONSET + 10 * DAY;

let providerId: number;
let drifting: Building;
let dark: Building;

const app = (role: 'viewer' | 'technician' | 'manager' = 'technician') => readApp(database, NOW, role);

const list = async (query = '') => {
  const page = await json<AlertPage>(app().request(`/api/alerts${query}`));
  AlertPageSchema.parse(page);
  return page;
};

const one = async (alertId: number) => {
  const alert = await json<OneAlertView>(app().request(`/api/alerts/${alertId}`));
  OneAlertSchema.parse(alert);
  return alert;
};

const act = (verb: string, body: object, role: 'technician' | 'manager' = 'technician') =>
  app(role).request(`/api/alerts/${verb}`, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify(body),
  });

beforeAll(async () => {
  const { db } = database;
  providerId = await givenProvider(db);
  drifting = await givenBuilding(db, providerId);
  dark = await givenBuilding(db);
  await givenDrift(db, drifting.siteId, drifting.floor3, ONSET);
  await givenDrift(db, dark.siteId, dark.amplifier, NOW - HOUR, {
    kind: 'outage',
    size_db: 0,
    detected_at: new Date(NOW - HOUR),
  });
  for (const { siteId } of [drifting, dark]) await syncAlerts(db, siteId, NOW - HOUR / 2);
});

describe('GET /api/alerts', () => {
  test('ranks by expected outlet-days lost and counts what nobody has acknowledged', async () => {
    const page = await list();
    expect(page).toMatchObject({ total: 2, unacknowledged: 2 });
    expect(page.rows.map(({ siteId, severity }) => [siteId, severity])).toEqual([
      [dark.siteId, 'critical'],
      [drifting.siteId, 'warning'],
    ]);
    expect(page.rows[0]).toMatchObject({ outlets: 48, priority: 48 * 14, limitDays: { p50: 0 } });
    expect(page.rows[1]!.limitDays!.p50).toBeCloseTo(19, 6);
  });

  test('is narrowed by state, severity, side, provider and site', async () => {
    expect((await list('?severity=critical')).rows.map(({ siteId }) => siteId)).toEqual([dark.siteId]);
    expect((await list(`?providerId=${providerId}`)).rows.map(({ siteId }) => siteId)).toEqual([
      drifting.siteId,
    ]);
    expect((await list('?side=provider')).total).toBe(0);
    expect((await list(`?siteId=${dark.siteId}`)).total).toBe(1);
    expect((await list('?state=shelved')).total).toBe(0);
    expect((await list('?limit=1&offset=1')).rows.map(({ siteId }) => siteId)).toEqual([drifting.siteId]);
  });

  test('refuses a state that there is not', async () => {
    const error = await json<{ error: { fields: object } }>(app().request('/api/alerts?state=gone'), 422);
    expect(Object.keys(error.error.fields)).toEqual(['state']);
  });
});

describe('GET /api/alerts/{alertId}', () => {
  test('tells its findings with their causes, and what was done to it', async () => {
    const { alertId } = (await list()).rows[1]!;
    const alert = await one(alertId);
    expect(alert.findings.map(({ pointId }) => pointId)).toEqual([drifting.floor3]);
    expect(alert.findings[0]!.causes.length).toBeGreaterThan(0);
    expect(alert.changes.map(({ kind, by }) => [kind, by])).toEqual([['raised', 'Levelkeep']]);
    expect(alert.members).toEqual([]);
  });

  test('knows of no alert that is not there', async () => {
    await json(app().request('/api/alerts/999999'), 404);
  });
});

describe('what people do to alerts', () => {
  test('goes on record with who and why, several at once, and what refuses keeps no other from it', async () => {
    const alertIds = (await list()).rows.map(({ alertId }) => alertId);
    const first = await json<DoneToAlerts>(act('acknowledge', { alertIds, why: 'crew is out' }));
    expect(first).toEqual({ done: alertIds, refused: [] });

    const again = await json<DoneToAlerts>(act('acknowledge', { alertIds: [...alertIds, 999999] }));
    expect(again.done).toEqual([]);
    expect(again.refused.map(({ alertId }) => alertId)).toEqual([...alertIds, 999999]);
    expect(again.refused[0]!.reason).toContain('acknowledged already');

    const alert = await one(alertIds[0]!);
    expect(alert).toMatchObject({ state: 'active-acknowledged', acknowledgedBy: 'Ada Field' });
    expect(alert.changes.at(-1)).toMatchObject({
      kind: 'acknowledged',
      by: 'Ada Field',
      why: 'crew is out',
      before: { state: 'active-unacknowledged' },
      after: { state: 'active-acknowledged' },
    });
    expect((await list()).unacknowledged).toBe(0);
  });

  test('shelves until a moment with a reason, and out of service is for managers', async () => {
    const alertIds = [(await list()).rows[0]!.alertId];
    const until = new Date(NOW + 2 * DAY).toISOString();
    await json(act('shelve', { alertIds, until, why: '' }), 422);
    await json(act('shelve', { alertIds, until: new Date(NOW + 31 * DAY).toISOString(), why: 'roof' }), 422);
    await json(act('shelve', { alertIds, until, why: 'roof' }));
    expect((await list('?state=shelved')).rows[0]).toMatchObject({ shelvedUntil: until });
    await json(act('unshelve', { alertIds }));
    await json(act('take-out-of-service', { alertIds, why: 'rebuilt' }), 403);
    await json(act('take-out-of-service', { alertIds, why: 'rebuilt' }, 'manager'));
    await json(act('return-to-service', { alertIds }, 'manager'));
    await json(act('note', { alertIds, why: 'key at reception' }));
    expect((await one(alertIds[0]!)).changes.map(({ kind }) => kind)).toEqual([
      'raised',
      'acknowledged',
      'shelved',
      'unshelved',
      'out-of-service',
      'in-service',
      'note',
    ]);
  });
});
