import type { Transaction } from 'kysely';
import type { PlannedChannel } from '../../ingest/plan/channelPlan.ts';
import { planInForce } from '../../ingest/plan/planInForce.ts';
import { validatePlanChannels } from '../../ingest/plan/validatePlanChannels.ts';
import { announceToSites } from '../../ingest/store/announceToSites.ts';
import type { Db } from '../../ingest/store/database.ts';
import { inTransaction } from '../../ingest/store/inTransaction.ts';
import { loadPlanVersions } from '../../ingest/store/planQueries.ts';
import type { Database, RasterName } from '../../ingest/store/schema.ts';
import { ApiError, InvalidInput, NotFound } from '../errors.ts';
import type { PlanSummary, PlanView } from '../schemas/plans.ts';
import { isUniqueViolation } from './constraint.ts';

export interface VersionInput {
  readonly effectiveFrom: string;
  readonly note: string;
  readonly channels: readonly PlannedChannel[];
}

export interface PlanInput extends VersionInput {
  readonly name: string;
  readonly raster: RasterName;
}

/** Every plan by name, with its versions, newest effective date first. */
export async function listPlans(db: Db, nowMs: number): Promise<PlanSummary[]> {
  const plans = await db.selectFrom('channel_plan').select('plan_id').orderBy('name').execute();
  const views = await Promise.all(plans.map(({ plan_id }) => planView(db, plan_id, nowMs)));
  return views.map(({ versions, ...plan }) => ({
    ...plan,
    versions: versions.map((version) => ({ ...version, channels: version.channels.length })),
  }));
}

/** One plan with the channels of every version. Throws 404 when there is none. */
export async function planView(db: Db, planId: number, nowMs: number): Promise<PlanView> {
  const plan = await db
    .selectFrom('channel_plan')
    .select(['name', 'raster'])
    .select((eb) =>
      eb
        .selectFrom('site')
        .select((inner) => inner.fn.countAll<number>().as('count'))
        .whereRef('site.plan_id', '=', 'channel_plan.plan_id')
        .as('sites'),
    )
    .where('plan_id', '=', planId)
    .executeTakeFirst();
  if (!plan) throw new NotFound('channel plan', planId);

  const rows = await db
    .selectFrom('channel_plan_version')
    .selectAll()
    .where('plan_id', '=', planId)
    .execute();
  const loaded = await loadPlanVersions(db, planId);
  const inForce = planInForce(loaded, nowMs)?.version;
  const versions = rows
    .sort((a, b) => b.effective_from.getTime() - a.effective_from.getTime())
    .map((row) => ({
      version: row.version,
      effectiveFrom: row.effective_from.toISOString(),
      note: row.note,
      createdBy: row.created_by,
      createdAt: row.created_at.toISOString(),
      inForce: row.version === inForce,
      channels: channelsOf(loaded.find(({ version }) => version === row.version)?.channels ?? []),
    }));
  return { planId, name: plan.name, raster: plan.raster, sites: plan.sites ?? 0, versions };
}

/** Makes a plan with its first version. Throws InvalidInput when the name is taken or channels can't be. */
export function addPlan(db: Db, plan: PlanInput, createdBy: string): Promise<number> {
  refuseBadChannels(plan.channels);
  return inTransaction(db, async (trx) => {
    const { plan_id } = await trx
      .insertInto('channel_plan')
      .values({ name: plan.name, raster: plan.raster })
      .returning('plan_id')
      .executeTakeFirstOrThrow()
      .catch(explainTakenName);
    await insertVersion(trx, plan_id, 1, plan, createdBy);
    return plan_id;
  });
}

export async function renamePlan(db: Db, planId: number, name: string): Promise<void> {
  const { numUpdatedRows } = await db
    .updateTable('channel_plan')
    .set({ name })
    .where('plan_id', '=', planId)
    .executeTakeFirst()
    .catch(explainTakenName);
  if (numUpdatedRows === 0n) throw new NotFound('channel plan', planId);
}

/** Adds a version. Sites on the plan are judged again from its effective date on; older versions stay as they are. */
export function addVersion(db: Db, planId: number, input: VersionInput, createdBy: string): Promise<number> {
  refuseBadChannels(input.channels);
  return inTransaction(db, async (trx) => {
    await lockPlan(trx, planId);
    const versions = await trx
      .selectFrom('channel_plan_version')
      .select(['version', 'effective_from'])
      .where('plan_id', '=', planId)
      .execute();
    const effectiveFromMs = Date.parse(input.effectiveFrom);
    const rival = versions.find(({ effective_from }) => effective_from.getTime() === effectiveFromMs);
    if (rival) {
      throw new InvalidInput({
        effectiveFrom: `version ${rival.version} begins at that moment: choose another`,
      });
    }
    const version = Math.max(0, ...versions.map((row) => row.version)) + 1;
    await insertVersion(trx, planId, version, input, createdBy);
    await announceToPlan(trx, planId, effectiveFromMs);
    return version;
  });
}

/** Takes back a version that is still to come. Throws 409 once it has taken effect: what was in force is kept. */
export function withdrawVersion(db: Db, planId: number, version: number, nowMs: number): Promise<void> {
  return inTransaction(db, async (trx) => {
    await lockPlan(trx, planId);
    const row = await trx
      .selectFrom('channel_plan_version')
      .select('effective_from')
      .where('plan_id', '=', planId)
      .where('version', '=', version)
      .executeTakeFirst();
    if (!row) throw new NotFound('version', version);
    if (row.effective_from.getTime() <= nowMs) {
      throw new ApiError(
        409,
        'version-in-effect',
        `version ${version} has taken effect`,
        'add a version that takes over from it',
      );
    }
    await trx
      .deleteFrom('planned_channel')
      .where('plan_id', '=', planId)
      .where('version', '=', version)
      .execute();
    await trx
      .deleteFrom('channel_plan_version')
      .where('plan_id', '=', planId)
      .where('version', '=', version)
      .execute();
    await announceToPlan(trx, planId, row.effective_from.getTime());
  });
}

async function insertVersion(
  trx: Transaction<Database>,
  planId: number,
  version: number,
  { effectiveFrom, note, channels }: VersionInput,
  createdBy: string,
): Promise<void> {
  await trx
    .insertInto('channel_plan_version')
    .values({
      plan_id: planId,
      version,
      effective_from: new Date(effectiveFrom),
      note,
      created_by: createdBy,
    })
    .execute();
  const rows = channels.map(({ channel, centreMhz, widthMhz, modulation, services }) => ({
    plan_id: planId,
    version,
    channel,
    centre_mhz: centreMhz,
    width_mhz: widthMhz,
    modulation,
    services: JSON.stringify(services),
  }));
  await trx.insertInto('planned_channel').values(rows).execute();
}

async function lockPlan(trx: Transaction<Database>, planId: number): Promise<void> {
  const plan = trx.selectFrom('channel_plan').select('plan_id').where('plan_id', '=', planId).forUpdate();
  if (!(await plan.executeTakeFirst())) throw new NotFound('channel plan', planId);
}

/** One statement a site: arrivals of many sites in one would touch many shards. */
async function announceToPlan(trx: Transaction<Database>, planId: number, fromMs: number): Promise<void> {
  const points = await trx
    .selectFrom('site')
    .innerJoin('point', 'point.site_id', 'site.site_id')
    .select(['point.site_id', 'point.point_id'])
    .where('site.plan_id', '=', planId)
    .execute();
  await announceToSites(trx, points, fromMs);
}

function refuseBadChannels(channels: readonly PlannedChannel[]): void {
  const problems = validatePlanChannels(channels);
  if (problems.length === 0) return;
  const dotted = (path: string) => path.replaceAll(/\[(\d+)\]/g, '.$1');
  throw new InvalidInput(
    Object.fromEntries(problems.map(({ path, problem, fix }) => [dotted(path), `${problem}: ${fix}`])),
  );
}

function channelsOf(channels: readonly PlannedChannel[]) {
  return channels.map((channel) => ({ ...channel, services: [...channel.services] }));
}

function explainTakenName(error: unknown): never {
  if (isUniqueViolation(error)) throw new InvalidInput({ name: 'is taken by another plan: choose another' });
  throw error;
}
