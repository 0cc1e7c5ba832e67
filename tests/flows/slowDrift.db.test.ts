import { randomUUID } from 'node:crypto';
import { expect, test } from 'vitest';
import type { AlertPage, DoneToAlerts, OneAlertView } from '../../api/schemas/alerts.ts';
import type { BaselineProposalView, BaselineVersionView } from '../../api/schemas/baseline.ts';
import type {
  DayProposal,
  NewVisitDay,
  NewVisitResult,
  VisitDay,
  VisitResultView,
} from '../../api/schemas/visits.ts';
import { ok } from '../support/answers.ts';
import { givenTarget } from '../support/givenAlerts.ts';
import { givenPlan } from '../support/givenSite.ts';
import { withApp } from '../support/testApp.ts';
import { givenServerAtWork } from './serverAtWork.ts';
import { acceptBaselines, boxSends, givenSweptBuilding, type LevelAt, WELL_DBMV } from './sweptBuilding.ts';

const levelkeep = withApp();
const HOUR_MS = 3_600_000;
const DAY_MS = 24 * HOUR_MS;
/** A Monday, midnight in Chicago. */
const FROM_MS = Date.parse('2026-03-02T06:00:00Z');
const ACCEPTED_MS = FROM_MS + 3 * DAY_MS;
const ONSET_MS = FROM_MS + 5 * DAY_MS + 7 * HOUR_MS;
const DRIFT_DB_PER_DAY = -0.4;
const SWEPT_EVERY_MS = 2 * HOUR_MS;

/** The hop from the handoff to the riser loses a little more each day, until somebody mends it. */
let mendedMs = Number.POSITIVE_INFINITY;
const levelAt: LevelAt = (point, _, atMs) => {
  const drifts = point !== 'handoff' && atMs > ONSET_MS && atMs < mendedMs;
  return WELL_DBMV[point]! + (drifts ? (DRIFT_DB_PER_DAY * (atMs - ONSET_MS)) / DAY_MS : 0);
};

const read = async <T>(path: string) => ok<T>(await levelkeep.send('technician', 'GET', path));
const post = async <T>(path: string, body: unknown) =>
  ok<T>(await levelkeep.send('technician', 'POST', path, body));
const iso = (ms: number) => new Date(ms).toISOString();

test('a slow drift at one hop is found, told in the morning, visited, mended, confirmed by sweeps, and makes a new baseline', async () => {
  const { db } = levelkeep;
  levelkeep.nowMs = FROM_MS;
  const server = await givenServerAtWork(levelkeep);
  await givenTarget(db, 'Rosa', { daily: true });
  const site = {
    name: 'Mill House',
    plan_id: await givenPlan(db),
    latitude: 41.2,
    longitude: -87.6,
    access_notes: 'Key at the desk',
  };
  const building = await givenSweptBuilding(levelkeep, site, SWEPT_EVERY_MS);
  const { siteId, pointIds } = building;
  const runUntil = (untilMs: number) =>
    server.runUntil(untilMs, SWEPT_EVERY_MS, (atMs) => boxSends(levelkeep, building, [atMs], levelAt));
  const openFindings = () =>
    db.selectFrom('finding').selectAll().where('closed_at', 'is', null).orderBy('point_id').execute();
  const alerts = async () => (await read<AlertPage>('/api/alerts')).rows;

  await runUntil(ACCEPTED_MS);
  await acceptBaselines(levelkeep, building, FROM_MS, ACCEPTED_MS);
  await runUntil(ONSET_MS);
  expect(await openFindings()).toEqual([]);
  expect(server.subjects()).toEqual([]);

  await runUntil(ONSET_MS + 3 * DAY_MS);
  const findings = await openFindings();
  expect(findings.map(({ point_id }) => point_id)).toEqual([pointIds['riser'], pointIds['outlet']]);
  expect(findings[0]).toMatchObject({ kind: 'drift', metric: 'level', side: 'building' });
  expect(findings[0]).toMatchObject({ hop_from: pointIds['handoff'], hop_to: pointIds['riser'] });
  expect(findings[0]!.slope_db_per_day).toBeCloseTo(DRIFT_DB_PER_DAY, 1);
  const [alert, ...others] = await alerts();
  expect(others).toEqual([]);
  expect(alert).toMatchObject({ siteId, state: 'active-unacknowledged', side: 'building' });
  const { alertId, title } = alert!;

  expect(server.subjects().slice(0, 1)).toEqual(['Today: 1 new, 1 open, 0 put right']);
  expect(server.texts()[0]).toMatch(/NEW\n\n.*Level falling 0\.\d+ dB a day .* between handoff and riser/);
  expect(server.texts()[0]).toContain(`/alerts/${alertId}`);

  const why = 'planned for tomorrow';
  expect(await post<DoneToAlerts>('/api/alerts/acknowledge', { alertIds: [alertId], why })).toEqual({
    done: [alertId],
    refused: [],
  });
  const hours = { from: iso(levelkeep.nowMs + 12 * HOUR_MS), to: iso(levelkeep.nowMs + 18 * HOUR_MS) };
  const start = { startLatitude: 41.3, startLongitude: -87.6 };
  const asked = new URLSearchParams({ ...hours, startLatitude: '41.3', startLongitude: '-87.6' });
  const { stops } = await read<DayProposal>(`/api/visit-proposals?${asked}`);
  expect(stops).toMatchObject([{ siteId, alerts: [{ alertId }] }]);
  const day: NewVisitDay = {
    technician: 'Sam Reed',
    startName: 'Depot',
    ...start,
    ...hours,
    timeZone: 'America/Chicago',
    siteIds: [siteId],
  };
  const { dayId } = await post<{ dayId: number }>('/api/visit-days', day);
  const [stop] = (await read<VisitDay>(`/api/visit-days/${dayId}`)).stops;
  expect(stop).toMatchObject({ accessNotes: 'Key at the desk', results: [] });
  expect(stop!.tasks).toMatchObject([
    { alertId, title, pointId: pointIds['riser'], hopFrom: 'handoff', hopTo: 'riser' },
  ]);

  await runUntil(Date.parse(stop!.arriveAt));
  mendedMs = Date.parse(stop!.arriveAt) + HOUR_MS;
  await runUntil(Date.parse(stop!.leaveAt));
  const result: NewVisitResult = {
    resultId: randomUUID(),
    visitId: stop!.visitId,
    alertId,
    pointId: pointIds['riser']!,
    outcome: 'repaired',
    found: 'Wet connector at the riser',
    done: 'New connector',
    beganAt: stop!.arriveAt,
    doneAt: iso(mendedMs),
  };
  await post(`/api/sites/${siteId}/visit-results`, result);
  const standing = async () =>
    (await read<{ results: VisitResultView[] }>('/api/visit-results')).results.map(
      (view) => view.standing.state,
    );
  expect(await standing()).toEqual(['waiting']);
  expect((await read<OneAlertView>(`/api/alerts/${alertId}`)).state).toBe('active-acknowledged');

  await runUntil(mendedMs + DAY_MS);
  expect(await openFindings()).toEqual([]);
  expect(await standing()).toEqual(['confirmed']);
  const over = await read<OneAlertView>(`/api/alerts/${alertId}`);
  expect(over).toMatchObject({ state: 'normal', acknowledgedBy: 'technician token' });
  expect(over.changes.map(({ kind }) => kind)).toEqual([
    'raised',
    'acknowledged',
    'note',
    'returned',
    'closed',
  ]);
  expect(await alerts()).toEqual([]);
  expect(server.subjects().at(-1)).toBe('Today: 0 new, 0 open, 1 put right');

  const path = `/api/sites/${siteId}/points/${pointIds['riser']}/baselines`;
  const window = { from: iso(mendedMs + HOUR_MS), to: iso(levelkeep.nowMs!) };
  const proposal = await read<BaselineProposalView>(`${path}/preview?${new URLSearchParams(window)}`);
  expect(proposal).toMatchObject({ outside: [], maintenanceSweeps: 0, current: { version: 1 } });
  expect(proposal.levelDbmv).toBeCloseTo(WELL_DBMV['riser']!, 1);
  expect(await post<BaselineVersionView>(path, window)).toMatchObject({
    version: 2,
    effectiveFrom: window.from,
    acceptedBy: 'technician token',
  });
  await runUntil(levelkeep.nowMs! + DAY_MS);
  expect(await openFindings()).toEqual([]);
  expect(await alerts()).toEqual([]);
});
