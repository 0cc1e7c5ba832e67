import type { DayOrder, Stop, WorkingDay } from './dayOrder.ts';
import { greedyOrder } from './greedyOrder.ts';
import { NOTHING, savedBy, withStop } from './legs.ts';

/**
 * The order that saves most outlet-days of all orders of all choices of stops that fit the day; of two that save the same, the one
 * found first. Exact: it goes through them all, leaving out only what can't beat the best so far, so keep `stops` to nine or fewer.
 */
export function bestOrder(stops: readonly Stop[], day: WorkingDay): DayOrder {
  let best = greedyOrder(stops, day);
  const search = (order: DayOrder, left: readonly Stop[]): void => {
    if (order.savedOutletDays > best.savedOutletDays) best = order;
    if (order.savedOutletDays + atMost(order, left) <= best.savedOutletDays) return;
    for (const stop of left) {
      const longer = withStop(order, stop, day);
      if (longer !== null)
        search(
          longer,
          left.filter((other) => other !== stop),
        );
    }
  };
  search(NOTHING, stops);
  return best;
}

/** No order of what is left saves more: as if each could be begun at once. */
function atMost(order: DayOrder, left: readonly Stop[]): number {
  const now = order.stops.at(-1)?.leaveMinute ?? 0;
  return left.reduce((sum, stop) => sum + savedBy(stop, now + stop.minutes), 0);
}
