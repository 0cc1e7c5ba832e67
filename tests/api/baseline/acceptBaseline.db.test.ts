import { beforeEach, describe, expect, test } from 'vitest';
import { acceptBaseline, BaselineOutside } from '../../../api/baseline/acceptBaseline.ts';
import { proposeBaseline } from '../../../api/baseline/proposeBaseline.ts';
import {
  aSweep,
  givenPlan,
  givenPlanVersion,
  givenPoint,
  givenSite,
  givenSweeps,
  THIRTY_CHANNELS,
} from '../../support/givenSite.ts';
import { withDatabase } from '../../support/withDatabase.ts';

const database = withDatabase();
const START = Date.parse('2026-11-01T00:00:00Z');
const MINUTES = 60_000;
const ada = { acceptedBy: 'Ada Field', acceptedAtMs: START + 90 * MINUTES };

let siteId: number;
let pointId: number;
let planId: number;

beforeEach(async () => {
  planId = await givenPlan(database.db);
  siteId = await givenSite(database.db, { plan_id: planId });
  pointId = await givenPoint(database.db, siteId, { name: 'floor 3' });
  const sweeps = [0, 15, 30, 45].map((minute) =>
    aSweep(START + minute * MINUTES, { levelAt: () => 2 + minute / 150 }),
  );
  await givenSweeps(database.db, siteId, pointId, sweeps);
});

const window = (fromMinute = 0, toMinute = 45) => ({
  siteId,
  pointId,
  fromMs: START + fromMinute * MINUTES,
  toMs: START + toMinute * MINUTES,
});

describe('acceptBaseline', () => {
  test('keeps medians, signature and window, and has the engine judge again from the start of the window', async () => {
    const kept = await acceptBaseline(database.db, window(), ada);
    expect(kept).toMatchObject({
      version: 1,
      sweeps: 4,
      accepted_by: 'Ada Field',
      outside: [],
      exception_note: null,
    });
    expect(kept.effective_from.getTime()).toBe(START);
    expect(kept.freq_hz).toHaveLength(30);
    expect(kept.level_cdbmv[0]).toBe(215);
    expect(kept.mer_cdb?.[0]).toBe(3800);

    const arrivals = await database.db
      .selectFrom('arrival')
      .selectAll()
      .where('site_id', '=', siteId)
      .execute();
    expect(arrivals.map(({ point_id, first_at }) => [point_id, first_at.getTime()])).toEqual([
      [pointId, START],
    ]);
  });

  test('numbers versions and overwrites none', async () => {
    const first = await acceptBaseline(database.db, window(), ada);
    const second = await acceptBaseline(database.db, window(15), { ...ada, acceptedBy: 'Ben Field' });
    expect(second.version).toBe(2);
    const kept = await database.db
      .selectFrom('baseline')
      .selectAll()
      .where('site_id', '=', siteId)
      .where('version', '=', 1)
      .executeTakeFirst();
    expect(kept).toEqual(first);
  });

  test('gives two people who accept at once two versions', async () => {
    const both = await Promise.all([
      acceptBaseline(database.db, window(), ada),
      acceptBaseline(database.db, window(), { ...ada, acceptedBy: 'Ben Field' }),
    ]);
    expect(both.map(({ version }) => version).sort()).toEqual([1, 2]);
  });

  test('refuses what lies outside the limits until an exception is noted, and keeps the note', async () => {
    await givenSweeps(
      database.db,
      siteId,
      pointId,
      [60, 75, 90].map((minute) =>
        aSweep(START + minute * MINUTES, { merAt: (mhz) => (mhz === 135 ? 31 : 38) }),
      ),
    );
    const low = window(60, 90);
    const refusal = await acceptBaseline(database.db, low, ada).catch((error: unknown) => error);
    expect(refusal).toBeInstanceOf(BaselineOutside);
    expect((refusal as BaselineOutside).status).toBe(422);
    expect((refusal as BaselineOutside).message).toBe(
      'outside the limits: mer of channel 5 is 31 dB (at least 33 dB)',
    );
    expect(
      await database.db.selectFrom('baseline').select('version').where('site_id', '=', siteId).execute(),
    ).toEqual([]);

    const kept = await acceptBaseline(database.db, low, {
      ...ada,
      exceptionNote: 'provider repairs channel 5 next week',
    });
    expect(kept.exception_note).toBe('provider repairs channel 5 next week');
    expect(kept.outside).toMatchObject([{ quantity: 'mer', channel: '5' }]);
  });

  test('refuses to take effect before the version that it follows', async () => {
    await acceptBaseline(database.db, window(15), ada);
    await expect(acceptBaseline(database.db, window(0, 30), ada)).rejects.toMatchObject({
      status: 409,
      code: 'baseline-before-previous',
    });
  });
});

describe('proposeBaseline', () => {
  test('counts the sweeps at both ends of the window, and keeps nothing', async () => {
    const { draft } = await proposeBaseline(database.db, window());
    expect(draft.sweeps).toBe(4);
    expect(
      await database.db.selectFrom('baseline').select('version').where('site_id', '=', siteId).execute(),
    ).toEqual([]);
  });

  test('asks for at least three sweeps', async () => {
    await expect(proposeBaseline(database.db, window(0, 15))).rejects.toMatchObject({
      status: 422,
      code: 'too-few-sweeps',
    });
  });

  test('refuses a window that spans a line-up change', async () => {
    await givenPlanVersion(database.db, planId, START + 20 * MINUTES, THIRTY_CHANNELS.slice(1));
    await expect(proposeBaseline(database.db, window())).rejects.toMatchObject({
      code: 'window-spans-line-up-change',
    });
    await expect(proposeBaseline(database.db, window(21, 45))).rejects.toMatchObject({
      code: 'too-few-sweeps',
    });
  });

  test('refuses an end before the start and a window of months', async () => {
    await expect(proposeBaseline(database.db, window(45, 0))).rejects.toMatchObject({ code: 'window-empty' });
    await expect(proposeBaseline(database.db, window(-60 * 24 * 32))).rejects.toMatchObject({
      code: 'window-too-long',
    });
  });

  test('answers 404 for a point of another site', async () => {
    const elsewhere = await givenSite(database.db);
    await expect(proposeBaseline(database.db, { ...window(), siteId: elsewhere })).rejects.toMatchObject({
      status: 404,
    });
  });
});
