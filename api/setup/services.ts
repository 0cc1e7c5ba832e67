import type { PlannedChannel } from '../../ingest/plan/channelPlan.ts';
import { findServices } from '../../ingest/plan/findServices.ts';
import { planInForce } from '../../ingest/plan/planInForce.ts';
import type { Db } from '../../ingest/store/database.ts';
import { loadPlanVersions } from '../../ingest/store/planQueries.ts';
import type { ServiceHits } from '../schemas/plans.ts';

type Hit = ServiceHits['hits'][number];

/**
 * Where `search` is carried in the plan versions in force at `nowMs`: by the number that viewers dial, by a part of
 * the programme's name, or by the RF channel itself. Exact numbers come first.
 */
export async function searchServices(db: Db, search: string, nowMs: number): Promise<Hit[]> {
  const plans = await db.selectFrom('channel_plan').select(['plan_id', 'name']).orderBy('name').execute();
  const hits = await Promise.all(
    plans.map(async ({ plan_id, name }) => {
      const version = planInForce(await loadPlanVersions(db, plan_id), nowMs);
      if (version === null) return [];
      const carrying = findServices([version], search).map(({ channel }) => channel);
      const named = version.channels.filter(({ channel }) => channel.toLowerCase() === search.toLowerCase());
      return [...new Set([...carrying, ...named])].map((channel) => hitOf(plan_id, name, channel));
    }),
  );
  return hits.flat();
}

function hitOf(planId: number, plan: string, channel: PlannedChannel): Hit {
  const { centreMhz, modulation, services } = channel;
  return { planId, plan, channel: channel.channel, centreMhz, modulation, services: [...services] };
}
