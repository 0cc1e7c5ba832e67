import type { AgentReport } from '../../ingest/contract/agentReport.ts';
import type { Db } from '../../ingest/store/database.ts';

/** The newest heartbeat of one agent, and when it came by the server's clock. */
export interface ReceivedReport {
  readonly receivedMs: number;
  readonly report: AgentReport;
}

/** Agents report every five minutes; one that has missed three reports is silent. */
export const AGENT_SILENT_MS = 16 * 60_000;

export function isAgentSilent({ receivedMs }: ReceivedReport, nowMs: number): boolean {
  return nowMs - receivedMs > AGENT_SILENT_MS;
}

/** Newest reports of the agents that have sent one for a site, those that reported last first. */
export async function agentReports(db: Db, siteId: number): Promise<ReceivedReport[]> {
  const rows = await db
    .selectFrom('agent_report')
    .select(['received_at', 'report'])
    .where('site_id', '=', siteId)
    .orderBy('received_at', 'desc')
    .orderBy('agent')
    .execute();
  return rows.map(({ received_at, report }) => ({ receivedMs: received_at.getTime(), report }));
}
