import { VISIT_ASSUMPTIONS } from './assumptions.ts';
import type { DayOrder, OrderedStop, Stop, WorkingDay } from './dayOrder.ts';
import { driveMinutes } from './driveMinutes.ts';

/** Nothing begun yet: at the start place, at minute 0. */
export const NOTHING: DayOrder = { stops: [], backMinutes: 0, savedOutletDays: 0 };

/** The order with `stop` behind its last one; null when one would not be back in time. */
export function withStop(order: DayOrder, stop: Stop, day: WorkingDay): DayOrder | null {
  const last = order.stops.at(-1);
  const drive = driveMinutes(last === undefined ? day.start : last.stop.place, stop.place);
  const arriveMinute = (last?.leaveMinute ?? 0) + drive;
  const leaveMinute = arriveMinute + stop.minutes;
  const backMinutes = driveMinutes(stop.place, day.start);
  if (leaveMinute + backMinutes > day.minutes) return null;

  const savedOutletDays = savedBy(stop, leaveMinute);
  const added: OrderedStop = { stop, driveMinutes: drive, arriveMinute, leaveMinute, savedOutletDays };
  return {
    stops: [...order.stops, added],
    backMinutes,
    savedOutletDays: order.savedOutletDays + savedOutletDays,
  };
}

/** What is lost until the repair is done is lost: outlet-days run evenly over the horizon. */
export function savedBy({ outletDays }: Stop, doneMinute: number): number {
  return outletDays * Math.max(0, 1 - doneMinute / (VISIT_ASSUMPTIONS.horizonDays * 1440));
}
