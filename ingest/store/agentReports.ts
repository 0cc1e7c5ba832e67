import type { AgentReport } from '../contract/agentReport.ts';
import type { Db } from './database.ts';

/** A site has a few agents; what goes on naming new ones is an error of its own. */
const MOST_AGENTS = 50;

/** Keeps an agent's report in place of the one before; of more agents than a site has, those that reported longest ago go. */
export async function keepAgentReport(
  db: Db,
  siteId: number,
  report: AgentReport,
  nowMs: number,
): Promise<void> {
  const row = { received_at: new Date(nowMs), report: JSON.stringify(report) };
  await db
    .insertInto('agent_report')
    .values({ site_id: siteId, agent: report.agent, ...row })
    .onConflict((conflict) => conflict.columns(['site_id', 'agent']).doUpdateSet(row))
    .execute();
  await db
    .deleteFrom('agent_report')
    .where('site_id', '=', siteId)
    .where('agent', 'in', (select) =>
      select
        .selectFrom('agent_report')
        .select('agent')
        .where('site_id', '=', siteId)
        .orderBy('received_at', 'desc')
        .orderBy('agent')
        .offset(MOST_AGENTS),
    )
    .execute();
}
