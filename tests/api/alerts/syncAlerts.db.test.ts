import { beforeEach, describe, expect, test } from 'vitest';
import { acknowledge, returnToService, shelve, takeOutOfService } from '../../../api/alerts/actions.ts';
import { dueSites, syncAlerts } from '../../../api/alerts/syncAlerts.ts';
import type { NewFinding } from '../../../ingest/store/schema.ts';
import { givenDrift } from '../../support/givenFindings.ts';
import { aSweep, givenSweeps } from '../../support/givenSite.ts';
import { withDatabase } from '../../support/withDatabase.ts';
import { alertsOf, type Building, changesOf, DAY, givenBuilding, HOUR, MINUTE } from './alertSite.ts';

const database = withDatabase();
const ONSET = Date.parse('2026-11-02T12:00:00Z');
const SEEN = ONSET + HOUR;
const ADA = { by: 'Ada Field', why: 'on it' };

let here: Building;

beforeEach(async () => {
  here = await givenBuilding(database.db);
});

/** A sudden fall of 4 dB in a hop, seen an hour after its onset. */
function stepAt(pointId: number, onsetMs = ONSET, changes: Partial<NewFinding> = {}) {
  return givenDrift(database.db, here.siteId, pointId, onsetMs, {
    kind: 'step',
    size_db: -4,
    size_low_db: -4.2,
    size_high_db: -3.8,
    slope_db_per_day: null,
    onset_low_at: new Date(onsetMs - 15 * MINUTE),
    onset_high_at: new Date(onsetMs),
    detected_at: new Date(onsetMs + HOUR),
    limit_days_10: null,
    limit_days_50: null,
    limit_days_90: null,
    limit_name: null,
    ...changes,
  });
}

/** No signal below a hop. */
function outageAt(pointId: number, onsetMs = ONSET, changes: Partial<NewFinding> = {}) {
  return stepAt(pointId, onsetMs, { kind: 'outage', metric: 'level', size_db: 0, ...changes });
}

function closeAll(atMs: number) {
  return database.db
    .updateTable('finding')
    .set({ closed_at: new Date(atMs) })
    .where('site_id', '=', here.siteId)
    .where('closed_at', 'is', null)
    .execute();
}

const sync = (nowMs: number) => syncAlerts(database.db, here.siteId, nowMs);
const alerts = () => alertsOf(database.db, here.siteId);
const changes = async (place = 0) => changesOf(database.db, (await alerts())[place]!.alert_id);

describe('one alert a cause', () => {
  test('findings below a faulty hop are told by the alert of that hop', async () => {
    const event = 7001;
    await stepAt(here.amplifier, ONSET, { event });
    for (const floor of [here.floor3, here.floor4])
      await stepAt(floor, ONSET, {
        event,
        explained_by: here.amplifier,
        hop_from: here.handoff,
        hop_to: here.amplifier,
      });
    await sync(SEEN + HOUR);

    const [alert, ...others] = await alerts();
    expect(others).toEqual([]);
    expect(alert).toMatchObject({
      kind: 'site',
      hop_to: here.amplifier,
      outlets: 48,
      severity: 'warning',
      state: 'active-unacknowledged',
      side: 'building',
      closed_at: null,
    });
    expect(alert!.title).toMatch(/^Level fell 4\.0 dB .* between handoff and amplifier$/);
    expect(alert!.sentence).toContain('shows at 2 more points below');
    expect(alert!.cause).not.toBeNull();
    expect(alert!.do_first).not.toBe('');
    const told = await database.db
      .selectFrom('alert_finding')
      .selectAll()
      .where('alert_id', '=', alert!.alert_id)
      .execute();
    expect(told).toHaveLength(3);
  });

  test('two signs of one moment in one hop are one alert, and two hops are two', async () => {
    await stepAt(here.floor3);
    await sync(SEEN + HOUR);
    await stepAt(here.floor3, ONSET + 30 * MINUTE, { metric: 'mer', size_db: -3 });
    await stepAt(here.floor4, ONSET + 30 * MINUTE);
    await sync(SEEN + 2 * HOUR);
    expect((await alerts()).map(({ hop_to }) => hop_to)).toEqual([here.floor3, here.floor4]);
    expect((await alerts())[0]!.sentence).toMatch(/With it: .*MER/);
  });

  test('a change of meter and what is too small to act on are none', async () => {
    await stepAt(here.floor3, ONSET, { kind: 'instrument-change' });
    await stepAt(here.floor4, ONSET, { size_db: -0.3, size_low_db: -0.4, size_high_db: -0.2 });
    await sync(SEEN + DAY);
    expect(await alerts()).toEqual([]);
  });
});

describe('delays', () => {
  test('a warning waits half an hour, and the job finds when it is over', async () => {
    await stepAt(here.floor3);
    await sync(SEEN + 5 * MINUTE);
    expect(await alerts()).toEqual([]);
    expect(await dueSites(database.db, SEEN + 29 * MINUTE, 10)).not.toContain(here.siteId);
    expect(await dueSites(database.db, SEEN + 30 * MINUTE, 1000)).toContain(here.siteId);
    await sync(SEEN + 30 * MINUTE);
    expect(await changes()).toEqual(['raised']);
    expect(await dueSites(database.db, SEEN + 31 * MINUTE, 1000)).not.toContain(here.siteId);
  });

  test('a lost signal is told at once', async () => {
    await outageAt(here.amplifier);
    await sync(SEEN);
    expect((await alerts())[0]).toMatchObject({ severity: 'critical', limit_days_50: 0 });
  });

  test('a finding that comes and goes gives one alert that does not chatter', async () => {
    let nowMs = SEEN;
    for (let turn = 0; turn < 12; turn++) {
      await outageAt(here.amplifier, nowMs);
      await sync(nowMs);
      await closeAll(nowMs + 5 * MINUTE);
      await sync(nowMs + 5 * MINUTE);
      await sync(nowMs + 15 * MINUTE);
      nowMs += 20 * MINUTE;
    }
    expect(await alerts()).toHaveLength(1);
    expect(await changes()).toEqual(['raised']);
    await sync(nowMs + HOUR);
    expect(await changes()).toEqual(['raised', 'returned']);
  });

  test('what comes back within a day is the same alert, later another', async () => {
    await outageAt(here.amplifier);
    await sync(SEEN);
    const { alert_id } = (await alerts())[0]!;
    await acknowledge(database.db, alert_id, ADA, SEEN + MINUTE);
    await closeAll(SEEN + HOUR);
    await sync(SEEN + 2 * HOUR);
    expect((await alerts())[0]).toMatchObject({ state: 'normal', returned_at: new Date(SEEN + HOUR) });
    expect((await alerts())[0]!.closed_at).not.toBeNull();

    const again = SEEN + 20 * HOUR;
    await outageAt(here.amplifier, again);
    await sync(again + HOUR);
    expect((await alerts())[0]).toMatchObject({
      state: 'active-unacknowledged',
      closed_at: null,
      acknowledged_by: null,
    });
    expect(await changes()).toEqual(['raised', 'acknowledged', 'returned', 'closed', 'back']);

    await closeAll(again + 2 * HOUR);
    await sync(again + 4 * HOUR);
    await acknowledge(database.db, alert_id, ADA, again + 5 * HOUR);
    await outageAt(here.amplifier, again + 3 * DAY);
    await sync(again + 3 * DAY + HOUR);
    expect((await alerts()).map(({ state }) => state)).toEqual(['normal', 'active-unacknowledged']);
  });

  test('a graver severity is told at once and asks for another acknowledgement, a lower one after six hours', async () => {
    await givenDrift(database.db, here.siteId, here.floor3, ONSET, { limit_days_50: 30 });
    await sync(ONSET + 3 * DAY + HOUR);
    const { alert_id } = (await alerts())[0]!;
    await acknowledge(database.db, alert_id, ADA, ONSET + 3 * DAY + HOUR);
    const setDays = (days: number) =>
      database.db
        .updateTable('finding')
        .set({ limit_days_50: days })
        .where('site_id', '=', here.siteId)
        .execute();
    await setDays(2);
    await sync(ONSET + 4 * DAY);
    expect((await alerts())[0]).toMatchObject({ severity: 'major', state: 'active-unacknowledged' });
    await setDays(30);
    await sync(ONSET + 4 * DAY + HOUR);
    await sync(ONSET + 4 * DAY + 6 * HOUR);
    expect((await alerts())[0]!.severity).toBe('major');
    await sync(ONSET + 4 * DAY + 7 * HOUR);
    expect((await alerts())[0]!.severity).toBe('warning');
    expect(await changes()).toEqual(['raised', 'acknowledged', 'severity', 'severity']);
  });
});

describe('a replay of the engine', () => {
  test('that numbers events anew, moves the onset a little and the hop to one as likely changes no alert', async () => {
    await stepAt(here.floor3);
    await sync(SEEN + HOUR);
    await database.db
      .updateTable('finding')
      .set({
        event: 9999,
        onset_at: new Date(ONSET - 3 * HOUR),
        onset_low_at: new Date(ONSET - 4 * HOUR),
        onset_high_at: new Date(ONSET - 2 * HOUR),
      })
      .where('site_id', '=', here.siteId)
      .execute();
    await sync(SEEN + 2 * HOUR);
    await database.db
      .updateTable('finding')
      .set({ event: 1234, hop_to: here.amplifier, hop_from: here.handoff, also_possible: [here.floor3] })
      .where('site_id', '=', here.siteId)
      .execute();
    await sync(SEEN + 3 * HOUR);
    expect(await alerts()).toHaveLength(1);
    expect((await alerts())[0]!.hop_to).toBe(here.amplifier);
    expect(await changes()).toEqual(['raised']);
  });

  test('whose finding is withdrawn for good lets the alert return', async () => {
    await stepAt(here.floor3);
    await sync(SEEN + HOUR);
    await database.db.deleteFrom('finding').where('site_id', '=', here.siteId).execute();
    await sync(SEEN + 2 * HOUR);
    await sync(SEEN + 5 * HOUR);
    expect(await changes()).toEqual(['raised']);
    await sync(SEEN + 6 * HOUR);
    expect(await changes()).toEqual(['raised', 'returned']);
  });
});

describe('silence', () => {
  async function sweepsUntil(atMs: number, pointIds: readonly number[]) {
    for (const pointId of pointIds) await givenSweeps(database.db, here.siteId, pointId, [aSweep(atMs)]);
  }

  test('is an alert of indeterminate severity, over once sweeps come again', async () => {
    const all = [here.handoff, here.amplifier, here.floor3, here.floor4];
    await sweepsUntil(ONSET, all);
    await sync(ONSET + 10 * MINUTE);
    expect(await alerts()).toEqual([]);
    await sync(ONSET + 4 * HOUR);
    expect(await alerts()).toEqual([]);
    await sync(ONSET + 4 * HOUR + 15 * MINUTE);
    expect((await alerts())[0]).toMatchObject({ severity: 'indeterminate', side: null, outlets: 48 });
    expect((await alerts())[0]!.title).toMatch(/^All 4 points silent since/);
    await sweepsUntil(ONSET + 5 * HOUR, all);
    await sync(ONSET + 5 * HOUR);
    await sync(ONSET + 5 * HOUR + 20 * MINUTE);
    expect(await changes()).toEqual(['raised', 'returned']);
  });

  test('clears no fault of the signal', async () => {
    const all = [here.handoff, here.amplifier, here.floor3, here.floor4];
    await sweepsUntil(SEEN, all);
    await stepAt(here.floor3);
    await sync(SEEN + 40 * MINUTE);
    await sync(SEEN + 30 * DAY);
    await sync(SEEN + 30 * DAY + HOUR);
    const states = (await alerts()).map(({ cause_key, state }) => [cause_key === 'silence', state]);
    expect(states).toEqual([
      [false, 'active-unacknowledged'],
      [true, 'active-unacknowledged'],
    ]);
  });
});

describe('a maintenance window', () => {
  const UNTIL = ONSET + 6 * HOUR;
  beforeEach(async () => {
    await database.db
      .insertInto('maintenance_window')
      .values({
        scope: 'site',
        scope_id: here.siteId,
        from_at: new Date(ONSET - HOUR),
        to_at: new Date(UNTIL),
        reason: 'new riser',
        effect: 'floors go dark',
        created_by: 'Ada Field',
      })
      .execute();
  });

  test('suppresses what begins in it until it ends, then what still stands is told', async () => {
    await outageAt(here.floor3);
    await outageAt(here.floor4, ONSET - 2 * HOUR, { detected_at: new Date(ONSET - 2 * HOUR) });
    await sync(SEEN);
    const states = async () => (await alerts()).map(({ hop_to, state }) => [hop_to, state]);
    expect(await states()).toEqual([
      [here.floor4, 'active-unacknowledged'],
      [here.floor3, 'suppressed'],
    ]);
    expect(await dueSites(database.db, UNTIL, 1000)).toContain(here.siteId);
    await sync(UNTIL);
    expect(await changes(1)).toEqual(['suppressed', 'unsuppressed']);
    expect((await alerts())[1]!.state).toBe('active-unacknowledged');
  });

  test('tells nothing of what was over before it ended', async () => {
    await outageAt(here.floor3);
    await sync(SEEN);
    await closeAll(UNTIL - 10 * MINUTE);
    await sync(UNTIL - 5 * MINUTE);
    await sync(UNTIL);
    expect(await changes()).toEqual(['suppressed', 'unsuppressed', 'closed']);
    expect((await alerts())[0]).toMatchObject({
      state: 'normal',
      returned_at: new Date(UNTIL - 10 * MINUTE),
    });
  });
});

describe('shelving and out of service', () => {
  test('a shelf ends by itself: told anew while the condition stands', async () => {
    await outageAt(here.amplifier);
    await sync(SEEN);
    const { alert_id } = (await alerts())[0]!;
    const untilMs = SEEN + 2 * DAY;
    await shelve(database.db, alert_id, { ...ADA, untilMs }, SEEN + MINUTE);
    await sync(SEEN + 2 * MINUTE);
    expect(await dueSites(database.db, untilMs - 1, 1000)).not.toContain(here.siteId);
    expect(await dueSites(database.db, untilMs, 1000)).toContain(here.siteId);
    await sync(untilMs);
    expect((await alerts())[0]).toMatchObject({ state: 'active-unacknowledged', shelved_until: null });
    expect(await changes()).toEqual(['raised', 'shelved', 'unshelved']);
  });

  test('a shelf whose condition went away ends in normal', async () => {
    await outageAt(here.amplifier);
    await sync(SEEN);
    const { alert_id } = (await alerts())[0]!;
    await shelve(database.db, alert_id, { ...ADA, untilMs: SEEN + 2 * DAY }, SEEN + MINUTE);
    await closeAll(SEEN + HOUR);
    await sync(SEEN + 5 * HOUR);
    expect((await alerts())[0]!.state).toBe('shelved');
    await sync(SEEN + 2 * DAY);
    expect((await alerts())[0]!.state).toBe('normal');
    expect(await changes()).toEqual(['raised', 'shelved', 'unshelved', 'closed']);
  });

  test('a shelf that ends just after its condition tells nobody', async () => {
    await outageAt(here.amplifier);
    await sync(SEEN);
    const { alert_id } = (await alerts())[0]!;
    await shelve(database.db, alert_id, { ...ADA, untilMs: SEEN + DAY }, SEEN + MINUTE);
    await closeAll(SEEN + DAY - 10 * MINUTE);
    await sync(SEEN + DAY);
    expect((await alerts())[0]).toMatchObject({
      state: 'normal',
      returned_at: new Date(SEEN + DAY - 10 * MINUTE),
    });
  });

  test('a shelf needs a reason and an end within 30 days', async () => {
    await outageAt(here.amplifier);
    await sync(SEEN);
    const { alert_id } = (await alerts())[0]!;
    const shelveUntil = (untilMs: number, why = 'roof work') =>
      shelve(database.db, alert_id, { by: 'Ada', why, untilMs }, SEEN);
    await expect(shelveUntil(SEEN + 31 * DAY)).rejects.toMatchObject({
      fields: { until: 'must lie within 30 days' },
    });
    await expect(shelveUntil(SEEN)).rejects.toMatchObject({ fields: { until: 'must lie ahead' } });
    await expect(shelveUntil(Number.NaN)).rejects.toMatchObject({ fields: { until: 'must lie ahead' } });
    await expect(shelveUntil(SEEN + DAY, ' ')).rejects.toMatchObject({ fields: { why: expect.any(String) } });
    expect(await changes()).toEqual(['raised']);
  });

  test('out of service stays until somebody returns it', async () => {
    await outageAt(here.amplifier);
    await sync(SEEN);
    const { alert_id } = (await alerts())[0]!;
    await takeOutOfService(database.db, alert_id, { by: 'Ada', why: 'being rebuilt' }, SEEN);
    await sync(SEEN + 90 * DAY);
    expect((await alerts())[0]!.state).toBe('out-of-service');
    await returnToService(database.db, alert_id, { by: 'Ada', why: '' }, SEEN + 91 * DAY);
    expect((await alerts())[0]!.state).toBe('active-unacknowledged');
    expect(await changes()).toEqual(['raised', 'out-of-service', 'in-service']);
  });
});

test('ten looks at once end in one alert with one change', async () => {
  await outageAt(here.amplifier);
  await Promise.all(Array.from({ length: 10 }, () => sync(SEEN)));
  expect(await alerts()).toHaveLength(1);
  expect(await changes()).toEqual(['raised']);
});

test('a quiet site leaves no row', async () => {
  await sync(SEEN);
  const row = await database.db
    .selectFrom('alert_watch')
    .selectAll()
    .where('site_id', '=', here.siteId)
    .execute();
  expect(row).toEqual([]);
});
