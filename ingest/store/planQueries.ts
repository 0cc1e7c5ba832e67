import type { PlannedChannel, PlanVersion } from '../plan/channelPlan.ts';
import type { Db } from './database.ts';

/** Every version of a plan in order of effective date, each with its channels in rising frequency. */
export async function loadPlanVersions(db: Db, planId: number): Promise<PlanVersion[]> {
  const versions = await db
    .selectFrom('channel_plan_version')
    .selectAll()
    .where('plan_id', '=', planId)
    .orderBy('effective_from')
    .execute();
  const channels = await db
    .selectFrom('planned_channel')
    .selectAll()
    .where('plan_id', '=', planId)
    .orderBy('centre_mhz')
    .execute();

  const byVersion = new Map<number, PlannedChannel[]>();
  for (const row of channels) {
    const list = byVersion.get(row.version) ?? [];
    list.push({
      channel: row.channel,
      centreMhz: row.centre_mhz,
      widthMhz: row.width_mhz,
      modulation: row.modulation,
      services: row.services,
    });
    byVersion.set(row.version, list);
  }
  return versions.map((row) => ({
    planId,
    version: row.version,
    effectiveFromMs: row.effective_from.getTime(),
    note: row.note,
    channels: byVersion.get(row.version) ?? [],
  }));
}
