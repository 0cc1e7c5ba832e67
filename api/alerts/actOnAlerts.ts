import { ApiError } from '../errors.ts';
import type { DoneToAlerts } from '../schemas/alerts.ts';

/** Does one thing to several alerts, each by itself: one that refuses keeps no other from it. */
export async function actOnAlerts(
  alertIds: readonly number[],
  act: (alertId: number) => Promise<void>,
): Promise<DoneToAlerts> {
  const result: DoneToAlerts = { done: [], refused: [] };
  for (const alertId of new Set(alertIds)) {
    try {
      await act(alertId);
      result.done.push(alertId);
    } catch (error) {
      if (!(error instanceof ApiError) || error.status === 422) throw error;
      result.refused.push({ alertId, reason: error.message });
    }
  }
  return result;
}
