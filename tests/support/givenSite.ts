import { sql } from 'kysely';
import type { PlannedChannel } from '../../ingest/plan/channelPlan.ts';
import type { Db } from '../../ingest/store/database.ts';
import { createPartitions } from '../../ingest/store/partitions.ts';
import type { NewPoint, NewSite } from '../../ingest/store/schema.ts';
import type { Sweep } from '../../ingest/sweep.ts';

/** Thirty 256-QAM channels, "1" at 111 MHz to "30" at 285 MHz. */
export const THIRTY_CHANNELS: readonly PlannedChannel[] = Array.from({ length: 30 }, (_, i) => ({
  channel: String(i + 1),
  centreMhz: 111 + 6 * i,
  widthMhz: 6,
  modulation: 'qam256',
  services: [],
}));

let named = 0;

/** A plan whose first version took effect on 1 January 2026. */
export async function givenPlan(
  db: Db,
  channels: readonly PlannedChannel[] = THIRTY_CHANNELS,
): Promise<number> {
  const { plan_id } = await db
    .insertInto('channel_plan')
    .values({ name: `plan ${++named}`, raster: 'own' })
    .returning('plan_id')
    .executeTakeFirstOrThrow();
  await givenPlanVersion(db, plan_id, Date.parse('2026-01-01T00:00:00Z'), channels);
  return plan_id;
}

/** The next version of a plan, in effect from a moment on. */
export async function givenPlanVersion(
  db: Db,
  planId: number,
  effectiveFromMs: number,
  channels: readonly PlannedChannel[],
  note = '',
): Promise<void> {
  const { next } = await db
    .selectFrom('channel_plan_version')
    .select((select) => select.fn.coalesce(select.fn.max('version'), sql<number>`0`).as('next'))
    .where('plan_id', '=', planId)
    .executeTakeFirstOrThrow();
  const version = next + 1;
  await db
    .insertInto('channel_plan_version')
    .values({ plan_id: planId, version, effective_from: new Date(effectiveFromMs), note, created_by: 'Ada' })
    .execute();
  await db
    .insertInto('planned_channel')
    .values(
      channels.map(({ channel, centreMhz, widthMhz, modulation, services }) => ({
        plan_id: planId,
        version,
        channel,
        centre_mhz: centreMhz,
        width_mhz: widthMhz,
        modulation,
        services: JSON.stringify(services),
      })),
    )
    .execute();
}

/** A building in Chicago time, without points. */
export async function givenSite(db: Db, site: Partial<NewSite> = {}): Promise<number> {
  const { site_id } = await db
    .insertInto('site')
    .values({ name: `Site ${++named}`, time_zone: 'America/Chicago', outlets: 0, ...site })
    .returning('site_id')
    .executeTakeFirstOrThrow();
  return site_id;
}

/** A point of a site; an outlet every 15 minutes unless told otherwise. */
export async function givenPoint(
  db: Db,
  siteId: number,
  point: Partial<NewPoint> & { name: string },
): Promise<number> {
  const { point_id } = await db
    .insertInto('point')
    .values({ kind: 'outlet', ...point, site_id: siteId })
    .returning('point_id')
    .executeTakeFirstOrThrow();
  return point_id;
}

/** A sweep of all thirty channels, flat at `levelDbmv` with MER 38 dB, unless told otherwise. */
export function aSweep(
  atMs: number,
  changes: Partial<Sweep> & {
    readonly levelAt?: (freqMhz: number) => number | null;
    readonly merAt?: (freqMhz: number) => number | null;
  } = {},
): Sweep {
  const { levelAt = () => 0, merAt = () => 38, ...rest } = changes;
  const freqMhz = rest.freqMhz ?? THIRTY_CHANNELS.map(({ centreMhz }) => centreMhz);
  return {
    atMs,
    instrument: 'probe-7',
    ambientC: 21.5,
    freqMhz,
    levelDbmv: freqMhz.map(levelAt),
    merDb: freqMhz.map(merAt),
    cnrDb: null,
    berPre: null,
    berPost: null,
    lostMhz: [],
    ...rest,
  };
}

/** Sweeps as the store keeps them, put there without the endpoint. */
export async function givenSweeps(
  db: Db,
  siteId: number,
  pointId: number,
  sweeps: readonly Sweep[],
): Promise<void> {
  await createPartitions(db).ensure(sweeps.map(({ atMs }) => atMs));
  for (const sweep of sweeps) {
    await db
      .insertInto('sweep')
      .values({
        site_id: siteId,
        point_id: pointId,
        at: new Date(sweep.atMs),
        instrument: sweep.instrument,
        received_at: new Date(sweep.atMs),
        grid_id: await gridOf(db, siteId, sweep.freqMhz),
        level_cdbmv: hundredths(sweep.levelDbmv)!,
        mer_cdb: hundredths(sweep.merDb),
        cnr_cdb: hundredths(sweep.cnrDb),
        ber_pre: null,
        ber_post: null,
        lost_hz: sweep.lostMhz.length === 0 ? null : sweep.lostMhz.map(toHz),
        ambient_cc: sweep.ambientC === null ? null : Math.round(sweep.ambientC * 100),
      })
      .execute();
  }
}

async function gridOf(db: Db, siteId: number, freqMhz: readonly number[]): Promise<number> {
  const freq_hz = freqMhz.map(toHz);
  const { grid_id } = await db
    .insertInto('grid')
    .values({ site_id: siteId, freq_hz })
    .onConflict((conflict) => conflict.columns(['site_id', 'freq_hz']).doUpdateSet({ freq_hz }))
    .returning('grid_id')
    .executeTakeFirstOrThrow();
  return grid_id;
}

function toHz(mhz: number): number {
  return Math.round(mhz * 1e6);
}

function hundredths(values: readonly (number | null)[] | null): (number | null)[] | null {
  return values?.map((value) => (value === null ? null : Math.round(value * 100))) ?? null;
}
