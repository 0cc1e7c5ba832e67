import type { Transaction } from 'kysely';
import type { Database } from '../../ingest/store/schema.ts';
import { type AuditContext, audited } from '../audit/audited.ts';
import { ApiError } from '../errors.ts';
import type { DoneToAlerts } from '../schemas/alerts.ts';
import { alertStanding } from './alertStanding.ts';

/** One thing that people do to alerts, as the audit names it, and why they do it. */
export interface Action {
  readonly action: string;
  readonly why: string;
  readonly act: (trx: Transaction<Database>, alertId: number) => Promise<void>;
}

/** Does one thing to several alerts, each by itself: one that refuses keeps no other from it. */
export async function actOnAlerts(
  context: AuditContext,
  alertIds: readonly number[],
  { action, why, act }: Action,
): Promise<DoneToAlerts> {
  const result: DoneToAlerts = { done: [], refused: [] };
  for (const alertId of new Set(alertIds)) {
    try {
      await audited(
        context,
        async (trx) => {
          await act(trx, alertId);
          return alertStanding(trx, alertId);
        },
        {
          action,
          subjectKind: 'alert',
          subjectId: alertId,
          siteId: ({ siteId }) => siteId,
          before: (trx) => alertStanding(trx, alertId),
          after: async (_, standing) => ({ ...standing, why }),
        },
      );
      result.done.push(alertId);
    } catch (error) {
      if (!(error instanceof ApiError) || error.status === 422) throw error;
      result.refused.push({ alertId, reason: error.message });
    }
  }
  return result;
}
