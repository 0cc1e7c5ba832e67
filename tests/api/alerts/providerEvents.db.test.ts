import { beforeEach, describe, expect, test } from 'vitest';
import { syncProvider } from '../../../api/alerts/provider/syncProvider.ts';
import { standingAlerts } from '../../../api/alerts/standingAlerts.ts';
import { syncAlerts } from '../../../api/alerts/syncAlerts.ts';
import type { AlertRow } from '../../../ingest/store/schema.ts';
import { givenDrift } from '../../support/givenFindings.ts';
import { withDatabase } from '../../support/withDatabase.ts';
import {
  alertsOf,
  type Building,
  changesOf,
  DAY,
  givenBuilding,
  givenProvider,
  HOUR,
  MINUTE,
} from './alertSite.ts';

const database = withDatabase();
const ONSET = Date.now() - 2 * HOUR;
const SITES = 9;

let providerId: number;
let sites: Building[];

beforeEach(async () => {
  providerId = await givenProvider(database.db);
  sites = [];
  for (let i = 0; i < SITES; i++) sites.push(await givenBuilding(database.db, providerId));
});

/** The feed is gone at a site's handoff, found out at once. */
function outage({ siteId, handoff }: Building, atMs: number) {
  return givenDrift(database.db, siteId, handoff, atMs, {
    kind: 'outage',
    size_db: 0,
    slope_db_per_day: null,
    onset_low_at: new Date(atMs - 15 * MINUTE),
    onset_high_at: new Date(atMs),
    detected_at: new Date(atMs),
    limit_days_10: null,
    limit_days_50: null,
    limit_days_90: null,
    limit_name: null,
  });
}

function over({ siteId }: Building, atMs: number) {
  return database.db
    .updateTable('finding')
    .set({ closed_at: new Date(atMs) })
    .where('site_id', '=', siteId)
    .execute();
}

async function syncAll(nowMs: number) {
  for (const { siteId } of sites) await syncAlerts(database.db, siteId, nowMs);
  await syncProvider(database.db, providerId, nowMs);
}

function events(): Promise<AlertRow[]> {
  return database.db
    .selectFrom('alert')
    .selectAll()
    .where('kind', '=', 'provider-event')
    .where('provider_id', '=', providerId)
    .orderBy('alert_id')
    .execute();
}

async function standingAt({ siteId }: Building): Promise<number> {
  const { standing } = await database.db
    .selectFrom('site')
    .select(standingAlerts('site').as('standing'))
    .where('site_id', '=', siteId)
    .executeTakeFirstOrThrow();
  return standing;
}

const alertOf = async ({ siteId }: Building) => (await alertsOf(database.db, siteId))[0];

describe('an event of a provider', () => {
  test('is one alert from the third of nine sites on, and no site is told of by itself', async () => {
    for (const [i, site] of sites.slice(0, 5).entries()) {
      const atMs = ONSET + i * 2 * MINUTE;
      await outage(site, atMs);
      await syncAlerts(database.db, site.siteId, atMs);
      expect((await events()).length).toBe(i < 2 ? 0 : 1);
      const standing = await Promise.all(sites.slice(0, 3).map(standingAt));
      expect(standing).toEqual(i < 2 ? [0, 0, 0] : [1, 1, 1]);
    }
    await syncAll(ONSET + 30 * MINUTE);

    const [event, ...others] = await events();
    expect(others).toEqual([]);
    expect(event).toMatchObject({
      sites: 5,
      outlets: 240,
      severity: 'critical',
      side: 'provider',
      state: 'active-unacknowledged',
    });
    expect(event!.title).toContain('no signal at the handoff of 5 sites');
    expect(await Promise.all(sites.slice(0, 6).map(standingAt))).toEqual([1, 1, 1, 1, 1, 0]);
    for (const site of sites.slice(0, 5)) {
      const alert = await alertOf(site);
      expect(alert).toMatchObject({ state: 'suppressed', part_of: event!.alert_id });
      expect(await changesOf(database.db, alert!.alert_id)).toEqual(['joined']);
    }
    expect(await changesOf(database.db, event!.alert_id)).toEqual(['raised']);
    const { why } = await database.db
      .selectFrom('alert_change')
      .select('why')
      .where('alert_id', '=', event!.alert_id)
      .executeTakeFirstOrThrow();
    expect(why).toMatch(
      /handoff of 3 sites within hours\. By chance so many would change together 1 time in \d+\.$/,
    );
  });

  test('takes in sites that were told of before, and lets go of those that outlast it', async () => {
    await outage(sites[0]!, ONSET);
    await syncAlerts(database.db, sites[0]!.siteId, ONSET);
    await syncAlerts(database.db, sites[0]!.siteId, ONSET + 10 * MINUTE);
    expect((await alertOf(sites[0]!))!.state).toBe('active-unacknowledged');

    for (const site of sites.slice(1)) await outage(site, ONSET + 12 * MINUTE);
    await syncAll(ONSET + 12 * MINUTE);
    expect((await alertOf(sites[0]!))!.state).toBe('suppressed');

    for (const site of sites.slice(1)) await over(site, ONSET + HOUR);
    await syncAll(ONSET + HOUR);
    expect((await alertOf(sites[0]!))!.state).toBe('suppressed');
    await syncAll(ONSET + 2 * HOUR);
    expect((await events())[0]!.state).toBe('returned-unacknowledged');
    const left = await alertOf(sites[0]!);
    expect(left).toMatchObject({ state: 'active-unacknowledged', part_of: null });
    expect(await changesOf(database.db, left!.alert_id)).toEqual(['raised', 'joined', 'unsuppressed']);
    await syncAll(ONSET + 3 * HOUR);
    for (const site of sites.slice(1)) expect(await alertOf(site)).toBeUndefined();
  });

  test('closes the alerts of sites that are well again', async () => {
    for (const site of sites) await outage(site, ONSET);
    await syncAll(ONSET);
    await syncAll(ONSET + 10 * MINUTE);
    for (const site of sites) await over(site, ONSET + HOUR);
    await syncAll(ONSET + 2 * HOUR);
    await syncAll(ONSET + 4 * HOUR);
    for (const site of sites)
      expect(await alertOf(site)).toMatchObject({ state: 'normal', returned_at: expect.any(Date) });
  });

  test('is not made of two sites of nine, of building faults, or of what lies days apart', async () => {
    await outage(sites[0]!, ONSET);
    await outage(sites[1]!, ONSET);
    await outage(sites[2]!, ONSET - 3 * DAY);
    for (const { siteId, floor3 } of sites)
      await givenDrift(database.db, siteId, floor3, ONSET, {
        kind: 'outage',
        size_db: 0,
        detected_at: new Date(ONSET),
      });
    await syncAll(ONSET + 20 * MINUTE);
    await syncAll(ONSET + 40 * MINUTE);
    expect(await events()).toEqual([]);
  });

  test('takes a fall of level and of MER at the same sites for one', async () => {
    for (const site of sites.slice(0, 4)) {
      for (const [metric, size] of [
        ['level', -4],
        ['mer', -3],
      ] as const)
        await givenDrift(database.db, site.siteId, site.handoff, ONSET, {
          kind: 'step',
          metric,
          size_db: size,
          size_low_db: size - 0.2,
          size_high_db: size + 0.2,
          onset_low_at: new Date(ONSET - 15 * MINUTE),
          onset_high_at: new Date(ONSET),
          detected_at: new Date(ONSET),
        });
    }
    await syncAll(ONSET);
    await syncAll(ONSET + HOUR);
    expect(await events()).toHaveLength(1);
    for (const site of sites.slice(0, 4)) {
      const alerts = await alertsOf(database.db, site.siteId);
      expect(alerts.map(({ state }) => state)).toEqual(alerts.map(() => 'suppressed'));
    }
  });

  test('grows in a flood that many workers see at once, without another', async () => {
    for (const site of sites) await outage(site, ONSET);
    await Promise.all(sites.map(({ siteId }) => syncAlerts(database.db, siteId, ONSET)));
    await Promise.all(sites.map(({ siteId }) => syncAlerts(database.db, siteId, ONSET + 10 * MINUTE)));
    await syncProvider(database.db, providerId, ONSET + 11 * MINUTE);
    const [event, ...others] = await events();
    expect(others).toEqual([]);
    expect(event).toMatchObject({ sites: SITES, outlets: 48 * SITES });
    for (const site of sites) expect((await alertOf(site))!.part_of).toBe(event!.alert_id);
  });
});
