import type { BandChannel } from '../../charts/bandColumns.ts';
import { formatDay } from '../../format.ts';

/** "no longer in the plan since 10 Nov 2026", of a channel that a line-up change took away. */
export function leftPlan({ leftPlanAt }: Pick<BandChannel, 'leftPlanAt'>, timeZone: string): string {
  return `no longer in the plan${leftPlanAt === null ? '' : ` since ${formatDay(leftPlanAt, timeZone)}`}`;
}
