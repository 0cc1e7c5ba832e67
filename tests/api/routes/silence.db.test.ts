import { beforeEach, describe, expect, test } from 'vitest';
import { acceptBaseline } from '../../../api/baseline/acceptBaseline.ts';
import { claimDue } from '../../../api/probes/claimDue.ts';
import { finishRun } from '../../../api/probes/finishRun.ts';
import type { RunResult } from '../../../api/probes/runResult.ts';
import type { Instrument } from '../../../api/schemas/instruments.ts';
import type { MaintenanceWindow } from '../../../api/schemas/maintenance.ts';
import type { BandView, HistoryView, SiteView } from '../../../api/schemas/site.ts';
import { keepAgentReport } from '../../../ingest/store/agentReports.ts';
import { typedInstrument } from '../../../ingest/typedInstrument.ts';
import { fieldsOf, ok } from '../../support/answers.ts';
import { givenDrift } from '../../support/givenFindings.ts';
import { aSweep, givenPlan, givenPoint, givenSite, givenSweeps } from '../../support/givenSite.ts';
import { withApp } from '../../support/testApp.ts';
import { givenReport, HOUR, MINUTE, NOW } from '../punctuality/givenReadings.ts';

const levelkeep = withApp();
const DAY = 24 * HOUR;
const at = (ms: number) => new Date(ms).toISOString();

let siteId: number;
let handoff: number;

/** Six hours of sweeps up to `lastMs`, each a little different. */
async function givenHours(lastMs: number): Promise<void> {
  const sweeps = Array.from({ length: 24 }, (_, i) =>
    aSweep(lastMs - i * 15 * MINUTE, { levelAt: (mhz) => 18 + ((i * mhz) % 7) / 50 }),
  );
  await givenSweeps(levelkeep.db, siteId, handoff, sweeps);
}

beforeEach(async () => {
  const { db } = levelkeep;
  levelkeep.nowMs = NOW;
  siteId = await givenSite(db, { outlets: 12, plan_id: await givenPlan(db) });
  handoff = await givenPoint(db, siteId, { name: 'handoff', kind: 'handoff' });
  await db.insertInto('instrument').values({ site_id: siteId, name: 'probe-7' }).execute();
});

const siteView = async () => ok<SiteView>(await levelkeep.send('viewer', 'GET', `/api/sites/${siteId}`));
const pointPath = (what: string) => `/api/sites/${siteId}/points/${handoff}/${what}`;

describe('maintenance windows', () => {
  const words = { reason: 'splitter replaced', effect: 'no signal' };
  const wanted = (fromMs: number, toMs: number, changes = {}) => ({
    scope: 'site',
    scopeId: siteId,
    fromAt: at(fromMs),
    toAt: at(toMs),
    ...words,
    ...changes,
  });
  const plan = async (fromMs: number, toMs: number, changes = {}) =>
    ok<MaintenanceWindow>(
      await levelkeep.send('manager', 'POST', '/api/maintenance', wanted(fromMs, toMs, changes)),
    );

  test('are planned, run, end and stay in the list', async () => {
    const { windowId, state, createdBy } = await plan(NOW + HOUR, NOW + 3 * HOUR);
    expect([state, createdBy]).toEqual(['planned', 'manager token']);
    const list = async () => {
      const path = `/api/maintenance?site=${siteId}`;
      const { windows } = await ok<{ windows: MaintenanceWindow[] }>(
        await levelkeep.send('viewer', 'GET', path),
      );
      return windows.map((window) => window.state);
    };
    levelkeep.nowMs = NOW + 2 * HOUR;
    expect(await list()).toEqual(['running']);
    const ended = await levelkeep.send('manager', 'PATCH', `/api/maintenance/${windowId}`, {
      toAt: at(NOW + 2 * HOUR),
    });
    expect(await ok<MaintenanceWindow>(ended)).toMatchObject({ state: 'over', ...words });
    const cancelled = await levelkeep.send('manager', 'DELETE', `/api/maintenance/${windowId}`);
    expect(await ok<MaintenanceWindow>(cancelled)).toMatchObject({
      state: 'cancelled',
      cancelledBy: 'manager token',
    });
    expect((await levelkeep.send('manager', 'DELETE', `/api/maintenance/${windowId}`)).status).toBe(409);
    // A site's list is of what is in force there.
    expect(await list()).toEqual([]);
  });

  test('make the engine look again from their start, or from the earlier one when they move', async () => {
    const arrivals = async () => {
      const rows = await levelkeep.db
        .selectFrom('arrival')
        .select('first_at')
        .where('site_id', '=', siteId)
        .orderBy('arrival_id')
        .execute();
      return rows.map(({ first_at }) => first_at.getTime());
    };
    const { windowId } = await plan(NOW - 5 * HOUR, NOW - 3 * HOUR);
    expect(await arrivals()).toEqual([NOW - 5 * HOUR]);
    const path = `/api/maintenance/${windowId}`;
    await levelkeep.send('manager', 'PATCH', path, { fromAt: at(NOW - 4 * HOUR) });
    await levelkeep.send('manager', 'PATCH', path, { reason: 'two splitters replaced' });
    await levelkeep.send('manager', 'DELETE', path);
    expect(await arrivals()).toEqual([NOW - 5 * HOUR, NOW - 5 * HOUR, NOW - 4 * HOUR]);
  });

  test.each([
    [{ toAt: at(NOW - DAY) }, 'toAt', /after the start/],
    [{ toAt: at(NOW + 40 * DAY) }, 'toAt', /31 days/],
    [{ scopeId: null }, 'scopeId', /say which site/],
    [{ scopeId: 999_999 }, 'scopeId', /no site 999999/],
    [{ scope: 'fleet' }, 'scopeId', /must be null/],
    [{ reason: '' }, 'reason', /say why/],
  ])('that can’t be are refused by the field: %o', async (changes, field, reason) => {
    const answer = await levelkeep.send(
      'manager',
      'POST',
      '/api/maintenance',
      wanted(NOW, NOW + HOUR, changes),
    );
    expect((await fieldsOf(answer))[field]).toMatch(reason);
  });

  test('are told on the site’s page and mark band and history; silence inside is not told', async () => {
    await givenHours(NOW - 5 * HOUR);
    expect((await siteView()).troubles.map(({ kind }) => kind)).toEqual(['absent']);
    await plan(NOW - 6 * HOUR, NOW + HOUR);
    await plan(NOW + DAY, NOW + DAY + HOUR, { scope: 'fleet', scopeId: null });
    const view = await siteView();
    expect(view.troubles).toEqual([]);
    expect(view.maintenance.map(({ fromAt }) => fromAt)).toEqual([at(NOW - 6 * HOUR), at(NOW + DAY)]);

    const band = await ok<BandView>(await levelkeep.send('viewer', 'GET', pointPath('band')));
    expect(band.now).toMatchObject({ at: at(NOW - 5 * HOUR), maintenance: { reason: words.reason } });
    const history = await ok<HistoryView>(await levelkeep.send('viewer', 'GET', pointPath('history')));
    expect(history.maintenance.map(({ toAt }) => toAt)).toEqual([at(NOW + HOUR)]);
  });
});

describe('instruments', () => {
  const path = () => `/api/sites/${siteId}/instruments/probe-7`;

  test('are completed by a technician, and a calibration is an event of the history', async () => {
    await givenHours(NOW - 5 * MINUTE);
    const calibration = { calibratedAt: at(NOW - 3 * HOUR), dueAt: at(NOW - HOUR), uncertaintyDb: 0.5 };
    expect((await levelkeep.send('technician', 'PATCH', path(), { serial: 'A-1' })).status).toBe(204);
    const entered = await levelkeep.send('technician', 'POST', `${path()}/calibrations`, calibration);
    expect(entered.status).toBe(204);
    const { instruments } = await ok<{ instruments: Instrument[] }>(
      await levelkeep.send('viewer', 'GET', `/api/sites/${siteId}/instruments`),
    );
    expect(instruments).toMatchObject([
      { name: 'probe-7', serial: 'A-1', standing: 'overdue', points: ['handoff'] },
    ]);

    const history = await ok<HistoryView>(await levelkeep.send('viewer', 'GET', pointPath('history')));
    expect(history.events).toContainEqual({
      at: at(NOW - 3 * HOUR),
      kind: 'calibration',
      text: 'instrument probe-7 calibrated, uncertainty 0.5 dB',
    });
  });

  test('out of calibration are marked in band, findings and baseline proposal', async () => {
    await givenHours(NOW - 5 * MINUTE);
    await givenDrift(levelkeep.db, siteId, handoff, NOW - 4 * HOUR, { detected_at: new Date(NOW - HOUR) });
    await levelkeep.send('technician', 'POST', `${path()}/calibrations`, {
      calibratedAt: at(NOW - 3 * DAY),
      dueAt: at(NOW - 2 * HOUR),
    });
    const since = at(NOW - 2 * HOUR);
    const band = await ok<BandView>(await levelkeep.send('viewer', 'GET', pointPath('band')));
    expect(band.now?.calibrationOverdueSince).toBe(since);
    expect((await siteView()).findings[0]!.overdueInstrument).toEqual({ name: 'probe-7', since });

    const preview = async (fromMs: number, toMs: number) => {
      const query = `?from=${at(fromMs)}&to=${at(toMs)}`;
      return ok<{ overdueInstruments: unknown[]; maintenanceSweeps: number }>(
        await levelkeep.send('technician', 'GET', pointPath(`baselines/preview${query}`)),
      );
    };
    expect((await preview(NOW - 6 * HOUR, NOW - 3 * HOUR)).overdueInstruments).toEqual([]);
    expect((await preview(NOW - 6 * HOUR, NOW)).overdueInstruments).toEqual([{ name: 'probe-7', since }]);
  });

  test('that never read at the site are no instruments of it', async () => {
    const unknown = `/api/sites/${siteId}/instruments/meter-99/calibrations`;
    const answer = await levelkeep.send('technician', 'POST', unknown, { calibratedAt: at(NOW - DAY) });
    expect(answer.status).toBe(404);
  });
});

describe('the site page', () => {
  test('tells of a dark site which agent fell silent with it, since when, and what to do first', async () => {
    await givenHours(NOW - 2 * HOUR);
    const { report } = givenReport(2 * HOUR - MINUTE, {
      clock: { lastCorrection: { at: at(NOW - 3 * HOUR), byS: 720, sweepsMoved: 4 } },
      spool: {
        thinned: [
          { point: 'handoff', leftOver: 'one an hour', sweeps: 40, from: at(NOW - DAY), to: at(NOW - HOUR) },
        ],
      },
    });
    await keepAgentReport(levelkeep.db, siteId, report, NOW - 2 * HOUR + MINUTE);
    const view = await siteView();
    expect(view.troubles).toEqual([
      {
        kind: 'absent',
        pointIds: [handoff],
        since: at(NOW - 2 * HOUR),
        sentence:
          'No sweep from handoff since 12 Nov 12:30, due every 15 min; the last report of agent riser-box came on 12 Nov 12:31 with nothing waiting: look at its power or link first.',
        doFirst: expect.stringMatching(/^Look at the power of agent riser-box first/),
      },
    ]);
    expect(view.agents).toMatchObject([{ agent: 'riser-box', isSilent: true, waiting: 0 }]);
    expect(view.agents[0]!.notes.map(({ text }) => text)).toEqual([
      'its clock was set forward by 12 min; 4 waiting sweeps moved to their true time',
      'its spool was full: of handoff 40 unsent sweeps from 11 Nov 14:30 to 12 Nov 13:30 went, one an hour is left',
    ]);
  });

  test('tells of a point that the server reads since when its probe fails, whatever a person typed beside it', async () => {
    const { db } = levelkeep;
    await givenHours(NOW - 2 * HOUR);
    const probe = {
      pointId: handoff,
      name: 'cellar meter',
      kind: 'http',
      settings: { url: 'http://192.0.2.20/sweep.json', format: { is: 'contract' } },
      schedule: { kind: 'every', intervalS: 900 },
    };
    levelkeep.nowMs = NOW - 2 * HOUR;
    await ok(await levelkeep.send('manager', 'POST', `/api/sites/${siteId}/probes`, probe));
    const run = async (nowMs: number, result: RunResult) => {
      const [claimed] = await claimDue(db, { limit: 1, by: 'test', nowMs });
      expect(await finishRun(db, claimed!, result, nowMs)).toBe(true);
    };
    await run(NOW - 2 * HOUR, { outcome: 'read', sweeps: 1, told: '' });
    const fault = { code: 'address', message: '192.0.2.20 is gone', action: 'look for it' } as const;
    await run(NOW - 100 * MINUTE, { outcome: 'failed', ...fault });
    await run(NOW - 10 * MINUTE, { outcome: 'failed', ...fault });
    const typed = aSweep(NOW - 5 * MINUTE, { instrument: typedInstrument('meter-3') });
    await givenSweeps(db, siteId, handoff, [typed]);

    levelkeep.nowMs = NOW;
    expect((await siteView()).troubles).toMatchObject([
      {
        kind: 'absent',
        since: at(NOW - 2 * HOUR),
        sentence:
          'No sweep from handoff since 12 Nov 12:30, due every 15 min; probe cellar meter of this server has failed since 12 Nov 12:50: 192.0.2.20 is gone.',
        doFirst: 'Begin with probe cellar meter: look for it.',
      },
    ]);
  });

  test('finds frozen and partial sweeps in what is stored', async () => {
    await givenHours(NOW - 2 * HOUR);
    const window = { siteId, pointId: handoff, fromMs: NOW - DAY, toMs: NOW - 2 * HOUR };
    await acceptBaseline(levelkeep.db, window, { acceptedBy: 'Ada Field', acceptedAtMs: NOW });
    const later = (i: number, changes = {}) => aSweep(NOW - 2 * HOUR + i * 15 * MINUTE, changes);
    await givenSweeps(
      levelkeep.db,
      siteId,
      handoff,
      [1, 2, 3, 4, 5, 6, 7].map((i) => later(i, { levelAt: (mhz: number) => (mhz > 150 ? null : 18.2) })),
    );
    const view = await siteView();
    expect(view.troubles.map(({ kind }) => kind)).toEqual(['frozen', 'partial']);
    expect(view.troubles[1]!.sentence).toMatch(/probe-7 gives 7 of the usual 30 channels\.$/);
  });
});
