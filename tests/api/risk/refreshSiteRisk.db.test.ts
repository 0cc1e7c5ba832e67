import { beforeEach, describe, expect, test } from 'vitest';
import { acceptBaseline } from '../../../api/baseline/acceptBaseline.ts';
import { refreshSiteRisk } from '../../../api/risk/refreshSiteRisk.ts';
import type { SiteRiskRow } from '../../../ingest/store/schema.ts';
import { givenDrift, givenLatest } from '../../support/givenFindings.ts';
import { aSweep, givenPlan, givenPoint, givenSite, givenSweeps } from '../../support/givenSite.ts';
import { withDatabase } from '../../support/withDatabase.ts';

const database = withDatabase();
const MINUTE = 60_000;
const DAY = 86_400_000;
const INSTALLED = Date.parse('2026-10-01T12:00:00Z');
const NOW = Date.parse('2026-11-12T20:30:00Z');

let siteId: number;
let floor3: number;

beforeEach(async () => {
  const { db } = database;
  siteId = await givenSite(db, { outlets: 48, plan_id: await givenPlan(db) });
  const handoff = await givenPoint(db, siteId, { name: 'handoff', kind: 'handoff' });
  floor3 = await givenPoint(db, siteId, { name: 'floor-3', label: 'floor 3', fed_by: handoff });
  for (const [pointId, level] of [
    [handoff, 20],
    [floor3, 2],
  ] as const) {
    await givenSweeps(
      db,
      siteId,
      pointId,
      [0, 15, 30].map((minute) =>
        aSweep(INSTALLED + minute * MINUTE, { levelAt: () => level, merAt: () => 39 + minute / 500 }),
      ),
    );
    await givenSweeps(
      db,
      siteId,
      pointId,
      [5, 20, 35].map((minute) =>
        aSweep(NOW - minute * MINUTE, { levelAt: () => level, merAt: () => 39 + minute / 500 }),
      ),
    );
    await acceptBaseline(
      db,
      { siteId, pointId, fromMs: INSTALLED, toMs: INSTALLED + DAY },
      { acceptedBy: 'Ada Field', acceptedAtMs: INSTALLED + DAY },
    );
    await givenLatest(db, siteId, pointId, NOW - 5 * MINUTE);
  }
});

async function rankAt(nowMs: number): Promise<SiteRiskRow> {
  await refreshSiteRisk(database.db, siteId, nowMs);
  return database.db
    .selectFrom('site_risk')
    .selectAll()
    .where('site_id', '=', siteId)
    .executeTakeFirstOrThrow();
}

describe('refreshSiteRisk', () => {
  test('keeps a steady site with its sentence, last sweep and strip', async () => {
    const rank = await rankAt(NOW);
    expect(rank).toMatchObject({ verdict: 'steady', side: null, since: null, days_to_limit: null });
    expect(rank.sentence).toBe(
      'Level and tilt within 0.2 dB of baseline at 2 points; last sweep 12 Nov 14:25.',
    );
    expect(rank.outlet_days).toBeLessThan(0.1);
    expect(rank.last_sweep_at?.getTime()).toBe(NOW - 5 * MINUTE);
    // The thirty channels lie in slices 2 to 11.
    expect(rank.strip.slice(0, 4)).toEqual([-32768, -32768, 0, 0]);
    expect(rank.strip.slice(48)).toEqual(new Array(48).fill(0));
  });

  test('watches a drift, in the words of the finding', async () => {
    await givenDrift(database.db, siteId, floor3, NOW - 30 * DAY);
    const rank = await rankAt(NOW);
    expect(rank).toMatchObject({ verdict: 'watch', side: 'building' });
    expect(rank.since?.getTime()).toBe(NOW - 30 * DAY);
    expect(rank.days_to_limit).toBeCloseTo(19, 1);
    expect(rank.sentence).toMatch(
      /^Level falling 0.09 dB a day since 13 Oct between handoff and floor 3 \(building side\); .* 48 outlets at stake\.$/,
    );
  });

  test('gains risk with silence and calls it by its name', async () => {
    const reporting = await rankAt(NOW);
    const silent = await rankAt(NOW + 2 * DAY);
    const longer = await rankAt(NOW + 6 * DAY);
    expect(silent.verdict).toBe('silent');
    expect(silent.sentence).toBe(
      'All 2 points silent since 12 Nov 14:25, due every 15 min; all were read by probe-7 and fell silent together; 48 outlets unseen.',
    );
    expect(silent.outlet_days).toBeGreaterThan(reporting.outlet_days + 10);
    expect(longer.outlet_days).toBeGreaterThan(silent.outlet_days);
  });

  test('calls for action when the newest sweeps miss a service limit, and not for one wild sweep', async () => {
    const broken = (minute: number) =>
      aSweep(NOW + minute * MINUTE, { merAt: (mhz) => (mhz === 135 ? 31.2 : 39) });
    await givenSweeps(database.db, siteId, floor3, [broken(1)]);
    expect((await rankAt(NOW + MINUTE)).verdict).toBe('steady');

    await givenSweeps(database.db, siteId, floor3, [broken(2)]);
    const rank = await rankAt(NOW + 2 * MINUTE);
    expect(rank).toMatchObject({ verdict: 'act', days_to_limit: 0 });
    expect(rank.sentence).toBe(
      'MER of channel 5 at floor 3 is 1.8 dB below its limit of 33 dB; 48 outlets at stake.',
    );
  });

  test('does not take another meter for a fault', async () => {
    await givenDrift(database.db, siteId, floor3, NOW - 5 * DAY, {
      kind: 'instrument-change',
      slope_db_per_day: null,
    });
    expect((await rankAt(NOW)).verdict).toBe('steady');
  });

  test('gives a new site a modest rank of its own, and passes over one that is not there', async () => {
    const { db } = database;
    const newSite = await givenSite(db, { outlets: 10 });
    await givenPoint(db, newSite, { name: 'handoff', kind: 'handoff' });
    await refreshSiteRisk(db, newSite, NOW);
    await refreshSiteRisk(db, 1e9, NOW);
    const rank = await db
      .selectFrom('site_risk')
      .selectAll()
      .where('site_id', '=', newSite)
      .executeTakeFirstOrThrow();
    expect(rank).toMatchObject({ verdict: 'no-baseline', last_sweep_at: null });
    expect(rank.outlet_days).toBeCloseTo(1.4, 9);
  });
});
