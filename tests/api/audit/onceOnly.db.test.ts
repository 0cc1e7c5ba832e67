import { beforeAll, describe, expect, test } from 'vitest';
import type { ImportReport } from '../../../api/schemas/siteImport.ts';
import { ok } from '../../support/answers.ts';
import { withApp } from '../../support/testApp.ts';
import { CHANGE_CALLS, type Given } from './changeCalls.ts';
import { givenEverything } from './givenEverything.ts';

const levelkeep = withApp();
let given: Given;

beforeAll(async () => {
  given = (await givenEverything(levelkeep)).given;
});

/** The rows that `work` leaves. */
async function rowsOf(work: () => Promise<unknown>) {
  const kept = () => levelkeep.db.selectFrom('audit').selectAll().orderBy('audit_id').execute();
  const before = (await kept()).length;
  await work();
  return (await kept()).slice(before);
}

const send = (route: string) => {
  const { path, body } = CHANGE_CALLS[route]!(given);
  return levelkeep.send('manager', route.split(' ')[0]!, path, body);
};

describe('what is sent again', () => {
  test.each(['POST /api/sites/{siteId}/visit-results', 'POST /api/sites/{siteId}/points/{pointId}/readings'])(
    'by a device that got no answer leaves one row: %s',
    async (route) => {
      const rows = await rowsOf(async () => {
        for (const _ of [1, 2]) expect((await send(route)).ok).toBe(true);
      });
      expect(rows).toHaveLength(1);
    },
  );
});

describe('alerts', () => {
  test('leave a row each, and one that refuses leaves none', async () => {
    const alertIds = [given.alertId, given.shelvedId, 999_999];
    const act = () =>
      levelkeep.send('technician', 'POST', '/api/alerts/shelve', {
        alertIds,
        why: 'building is empty',
        until: new Date(Date.now() + 86_400_000).toISOString(),
      });
    const rows = await rowsOf(act);
    expect(rows).toMatchObject([
      {
        action: 'shelve',
        subject_kind: 'alert',
        subject_id: String(given.alertId),
        site_id: given.siteId,
        before: { state: 'active-unacknowledged', shelvedUntil: null },
        after: { state: 'shelved', why: 'building is empty' },
      },
    ]);
  });
});

describe('sites brought in from a file', () => {
  const SITES = 'name,town,time_zone,outlets\nBirch Yard,Elm Falls,America/Chicago,8\n';
  const pointsOf = (outlets: number) =>
    `site,point,kind,fed_by,outlets\nBirch Yard,handoff,handoff,,0\nBirch Yard,floor-1,outlet,handoff,${outlets}\n`;
  const bringIn = async (outlets: number, apply: boolean) => {
    const body = { sites: SITES, points: pointsOf(outlets), known: 'update', apply };
    const report = await ok<ImportReport>(
      await levelkeep.send('manager', 'POST', '/api/imports/sites', body),
    );
    expect(report.faults).toEqual([]);
  };

  test('leave no row while they are only looked at', async () => {
    expect(await rowsOf(() => bringIn(4, false))).toEqual([]);
  });

  test('leave a row a site, with the points that were brought in', async () => {
    expect(await rowsOf(() => bringIn(4, true))).toMatchObject([
      {
        by_whom: 'manager token',
        action: 'import',
        subject_kind: 'site',
        before: null,
        after: { name: 'Birch Yard', points: [{ name: 'handoff' }, { name: 'floor-1', outlets: 4 }] },
      },
    ]);
  });

  test('leave a row with the points that changed, and no row once nothing does', async () => {
    expect(await rowsOf(() => bringIn(6, true))).toMatchObject([
      {
        before: { name: 'Birch Yard', points: [{ name: 'floor-1', outlets: 4 }] },
        after: { name: 'Birch Yard', points: [{ name: 'floor-1', outlets: 6 }] },
      },
    ]);
    expect(await rowsOf(() => bringIn(6, true))).toEqual([]);
  });
});

describe('a webhook', () => {
  test('is told apart by a mark of its address, which is not kept itself', async () => {
    const [row] = await rowsOf(() => send('PUT /api/notify/targets/{targetId}'));
    const [before, after] = [row!.before, row!.after] as { webhook: string }[];
    expect(before!.webhook).toMatch(/^desk\.example, address [0-9a-f]{8}$/);
    expect(after!.webhook).toMatch(/^desk\.example, address [0-9a-f]{8}$/);
    expect(after!.webhook).not.toBe(before!.webhook);
    expect(JSON.stringify(row)).not.toContain('quiet-path');
  });
});

describe('points added at once', () => {
  test('leave a row each, as those that are added alone', async () => {
    const body = {
      points: [
        { name: 'riser', kind: 'amplifier', fedBy: 'handoff' },
        { name: 'floor-8', kind: 'outlet', fedBy: 'riser' },
      ],
    };
    const rows = await rowsOf(() =>
      levelkeep.send('technician', 'POST', `/api/sites/${given.siteId}/point-tree`, body),
    );
    expect(rows).toMatchObject([
      { action: 'add', subject_kind: 'point', site_id: given.siteId, after: { name: 'riser' } },
      { action: 'add', subject_kind: 'point', site_id: given.siteId, after: { name: 'floor-8' } },
    ]);
    expect(rows[1]!.after).toMatchObject({ fedBy: Number(rows[0]!.subject_id) });
  });
});
