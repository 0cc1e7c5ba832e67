import type { Place } from './greatCircleKm.ts';

/** One building that a day may hold. */
export interface Stop {
  readonly siteId: number;
  readonly place: Place | null;
  /** Outlet-days that a repair at this moment would save. */
  readonly outletDays: number;
  readonly minutes: number;
}

export interface WorkingDay {
  readonly start: Place | null;
  /** From leaving the start until being back there. */
  readonly minutes: number;
}

export interface OrderedStop {
  readonly stop: Stop;
  readonly driveMinutes: number;
  /** Minutes since the start of the day. */
  readonly arriveMinute: number;
  readonly leaveMinute: number;
  readonly savedOutletDays: number;
}

/** Buildings in the order of a day, and the drive back. */
export interface DayOrder {
  readonly stops: readonly OrderedStop[];
  readonly backMinutes: number;
  readonly savedOutletDays: number;
}
