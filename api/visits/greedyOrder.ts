import type { DayOrder, Stop, WorkingDay } from './dayOrder.ts';
import { NOTHING, withStop } from './legs.ts';

/** Goes, again and again, where most outlet-days are saved per hour of driving and working, as long as one is back in time. */
export function greedyOrder(stops: readonly Stop[], day: WorkingDay): DayOrder {
  let order = NOTHING;
  let left = stops;
  for (;;) {
    const next = left
      .map((stop) => ({ stop, tried: withStop(order, stop, day) }))
      .filter((each): each is { stop: Stop; tried: DayOrder } => each.tried !== null)
      .toSorted((a, b) => perHour(b.tried) - perHour(a.tried))[0];
    if (next === undefined) return order;
    order = next.tried;
    left = left.filter((stop) => stop !== next.stop);
  }
}

function perHour({ stops }: DayOrder): number {
  const { savedOutletDays, driveMinutes, stop } = stops.at(-1)!;
  return (savedOutletDays * 60) / Math.max(1, driveMinutes + stop.minutes);
}
